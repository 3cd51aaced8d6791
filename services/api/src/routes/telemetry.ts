import type { FastifyReply } from 'fastify';
import { principalOf } from '../auth/gate.ts';
import type { ApiDependencies } from '../dependencies.ts';
import { badRequest } from '../errors/api-error.ts';
import { unitParams } from '../schemas/ids.ts';
import { problems } from '../schemas/problem-answers.ts';
import {
  TELEMETRY_DEFAULT_WINDOW_MS,
  type TelemetryQuery,
  telemetryQuery,
  telemetrySchema,
} from '../schemas/telemetry.ts';
import { SPAN_WORDS, toStoreTime } from '../schemas/time-fields.ts';
import type { Api } from './api.ts';
import { findSender } from './find-unit.ts';

export function telemetryRoutes(app: Api, dependencies: ApiDependencies): void {
  const { telemetry, fleet, clock } = dependencies;
  app.get(
    '/api/units/:site/:unit/telemetry',
    {
      schema: {
        operationId: 'readTelemetry',
        summary: 'Readings of a unit, or of an outdoor station with unit weather, as columns',
        description:
          'Minimum, mean and maximum a bucket, or raw points where there are no more than ' +
          '`points`. Without from and to: the last 24 hours.',
        tags: ['units'],
        params: unitParams,
        querystring: telemetryQuery,
        response: { 200: telemetrySchema, ...problems(400, 401, 404) },
      },
    },
    async (request, reply) => {
      const { site, unit } = request.params;
      findSender(fleet(), principalOf(request), request.params);
      const { channels, points } = request.query;
      const span = windowOf(request.query, clock());
      const body = await telemetry.rangeJson({ site, unit, ...span, channels, points });
      // The store's own bytes: a large answer is not parsed and written again here.
      return (reply as FastifyReply).type('application/json; charset=utf-8').send(body);
    },
  );
}

function windowOf(query: TelemetryQuery, nowMs: number): { fromMs: number; toMs: number } {
  const toMs = query.to ?? nowMs;
  const fromMs = query.from ?? toMs - TELEMETRY_DEFAULT_WINDOW_MS;
  if (fromMs >= toMs) throw badRequest('from', SPAN_WORDS);
  return { fromMs: toStoreTime(fromMs), toMs: toStoreTime(toMs) };
}
