import { rfc3339 } from '@lineside/alarms';
import type { ServiceRecord } from '@lineside/storage';
import { z } from 'zod';
import { serviceJson } from '../answers/service-json.ts';
import { principalOf } from '../auth/gate.ts';
import { newId } from '../auth/secrets.ts';
import type { ApiDependencies } from '../dependencies.ts';
import { badRequest } from '../errors/api-error.ts';
import { type UnitParams, unitParams } from '../schemas/ids.ts';
import { pageFields, pageOf } from '../schemas/page.ts';
import { problems } from '../schemas/problem-answers.ts';
import { type ServiceBody, serviceBody, serviceSchema } from '../schemas/service.ts';
import { type Api, pageFrom } from './api.ts';
import { findUnit } from './find-unit.ts';

/** How far a record's time may be ahead: a phone's clock, the same as for event times. */
const MOST_AHEAD_MS = 5 * 60_000;

const PATH = '/api/units/:site/:unit/service';

export function serviceRoutes(app: Api, dependencies: ApiDependencies): void {
  const { records, fleet, live, clock } = dependencies;
  app.get(
    PATH,
    {
      schema: {
        operationId: 'listServiceRecords',
        summary: 'Service records of a unit, newest first',
        tags: ['service'],
        params: unitParams,
        querystring: z.object(pageFields),
        response: { 200: pageOf(serviceSchema), ...problems(400, 401, 404) },
      },
    },
    async (request) => {
      const { id: unit, site } = findUnit(fleet(), principalOf(request), request.params);
      const page = await pageFrom(request.query, (asked) =>
        records.serviceRecords({ site, unit, ...asked }),
      );
      return { items: page.items.map(serviceJson), next: page.next };
    },
  );
  app.post(
    PATH,
    {
      config: { roles: ['office', 'technician'] },
      schema: {
        operationId: 'addServiceRecord',
        summary: 'Record what was done at a unit',
        tags: ['service'],
        params: unitParams,
        body: serviceBody,
        response: { 201: serviceSchema, ...problems(400, 401, 403, 404, 413, 415) },
      },
    },
    async (request, reply) => {
      const principal = principalOf(request);
      findUnit(fleet(), principal, request.params);
      const record = recordFrom(request.body, request.params, principal.name, clock());
      try {
        await records.addServiceRecord(record);
      } finally {
        // A store that failed may have kept it all the same; the watches look what there is.
        live.serviceRecorded(record.site, record.unit);
      }
      return reply.code(201).send(serviceJson(record));
    },
  );
}

function recordFrom(
  body: ServiceBody,
  { site, unit }: UnitParams,
  recordedBy: string,
  nowMs: number,
): ServiceRecord {
  if ((body.site ?? site) !== site) throw badRequest('site', 'must be that of the address');
  if ((body.unit ?? unit) !== unit) throw badRequest('unit', 'must be that of the address');
  const atMs = body.time ?? nowMs;
  if (atMs < 0) throw badRequest('time', 'must not be before 1970');
  if (atMs > nowMs + MOST_AHEAD_MS) {
    throw badRequest('time', 'must not be more than 5 minutes ahead of the clock of the server');
  }
  return {
    id: newId(),
    site,
    unit,
    atMs,
    action: body.action,
    body: { ...body, site, unit, time: rfc3339(atMs) },
    recordedAtMs: nowMs,
    recordedBy,
  };
}
