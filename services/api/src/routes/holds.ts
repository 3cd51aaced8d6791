import { holdFault } from '@lineside/alarms';
import type { UnitHold } from '@lineside/storage';
import { z } from 'zod';
import { holdJson } from '../answers/hold-json.ts';
import { principalOf } from '../auth/gate.ts';
import type { Principal } from '../auth/principal.ts';
import { newId } from '../auth/secrets.ts';
import type { ApiDependencies } from '../dependencies.ts';
import { ApiError, badRequest, notFound } from '../errors/api-error.ts';
import { type HoldBody, holdBody, holdSchema } from '../schemas/hold.ts';
import { type UnitParams, unitParams } from '../schemas/ids.ts';
import { pageFields, pageOf } from '../schemas/page.ts';
import { problems } from '../schemas/problem-answers.ts';
import { type Api, pageFrom } from './api.ts';
import { findUnit } from './find-unit.ts';

/** Holds of one unit that are not over: more are a mistake, and each is looked at every second. */
const MOST_HOLDS_OF_UNIT = 20;

const PATH = '/api/units/:site/:unit/holds';
const ACTORS = { roles: ['office', 'technician'] } as const;

export function holdRoutes(app: Api, dependencies: ApiDependencies): void {
  const { records, fleet } = dependencies;
  app.get(
    PATH,
    {
      schema: {
        operationId: 'listHolds',
        summary: 'Maintenance and out-of-service times of a unit, newest begin first',
        tags: ['holds'],
        params: unitParams,
        querystring: z.object(pageFields),
        response: { 200: pageOf(holdSchema), ...problems(400, 401, 404) },
      },
    },
    async (request) => {
      const { id: unit, site } = findUnit(fleet(), principalOf(request), request.params);
      const page = await pageFrom(request.query, (asked) =>
        records.unitHolds({ site, unit, ...asked }),
      );
      return { items: page.items.map(holdJson), next: page.next };
    },
  );
  addRoute(app, dependencies);
  endRoute(app, dependencies);
}

function addRoute(app: Api, { records, fleet, clock }: ApiDependencies): void {
  app.post(
    PATH,
    {
      config: ACTORS,
      schema: {
        operationId: 'addHold',
        summary: 'Put a unit under maintenance, or take it out of service, until a time',
        tags: ['holds'],
        params: unitParams,
        body: holdBody,
        response: { 201: holdSchema, ...problems(400, 401, 403, 404, 409, 413, 415) },
      },
    },
    async (request, reply) => {
      const principal = principalOf(request);
      findUnit(fleet(), principal, request.params);
      const nowMs = clock();
      const hold = holdFrom(request.body, request.params, principal, nowMs);
      const ofUnit = (await records.unitHoldsAt(nowMs)).filter(
        ({ site, unit }) => site === hold.site && unit === hold.unit,
      );
      if (ofUnit.length >= MOST_HOLDS_OF_UNIT) {
        const words = `The unit has ${ofUnit.length} holds that are not over. End some first.`;
        throw new ApiError('API_CONFLICT', words);
      }
      await records.addUnitHold(hold);
      return reply.code(201).send(holdJson(hold));
    },
  );
}

function endRoute(app: Api, { records, clock }: ApiDependencies): void {
  app.post(
    '/api/holds/:id/end',
    {
      config: ACTORS,
      schema: {
        operationId: 'endHold',
        summary: 'End a hold now, or cancel one that has not begun; twice is no error',
        tags: ['holds'],
        params: z.object({ id: z.string() }),
        response: {
          204: z.null().describe('It is over.'),
          ...problems(401, 403, 404),
        },
      },
    },
    async (request, reply) => {
      const { name } = principalOf(request);
      const isKnown = await records.endUnitHold(request.params.id, clock(), name);
      if (!isKnown) throw notFound('This hold');
      return reply.code(204).send(null);
    },
  );
}

function holdFrom(
  body: HoldBody,
  { site, unit }: UnitParams,
  { name }: Principal,
  nowMs: number,
): UnitHold {
  const { kind, reason, until: untilMs, from: fromMs = nowMs } = body;
  const owner = body.owner ?? (kind === 'maintenance' ? name : '');
  const hold = { kind, owner, reason, fromMs, untilMs };
  const fault = holdFault(hold, nowMs);
  if (fault !== null) throw badRequest(fault.path, fault.words);
  return { ...hold, id: newId(), site, unit, endedAtMs: null, endedBy: null };
}
