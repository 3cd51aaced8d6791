import { z } from 'zod';
import type { ApiDependencies } from '../dependencies.ts';
import { ApiError, badRequest, notFound } from '../errors/api-error.ts';
import { problems } from '../schemas/problem-answers.ts';
import { toStoreTime } from '../schemas/time-fields.ts';
import { type WhatIfBody, whatIfBody, whatIfJson, whatIfSchema } from '../schemas/what-if.ts';
import type { WhatIfQuestion, WhatIfState } from '../what-if-desk.ts';
import type { Api } from './api.ts';

const OFFICE = { roles: ['office'] } as const;
const runParams = z.object({ id: z.string() });

export function whatIfRoutes(app: Api, dependencies: ApiDependencies): void {
  const { whatIf } = dependencies;
  app.post(
    '/api/what-if',
    {
      config: OFFICE,
      schema: {
        operationId: 'askWhatIf',
        summary: 'Judge stored history with other limits; the alarm journal stays as it is',
        tags: ['what-if'],
        body: whatIfBody,
        response: { 202: whatIfSchema, ...problems(400, 401, 403, 409) },
      },
    },
    async (request, reply) => {
      const run = whatIf.start(questionOf(request.body, dependencies));
      if (run === null) {
        throw new ApiError('API_CONFLICT', 'Another such question is being answered. Wait for it.');
      }
      return reply.code(202).header('location', `/api/what-if/${run.id}`).send(whatIfJson(run));
    },
  );
  app.get(
    '/api/what-if/:id',
    {
      config: OFFICE,
      schema: {
        operationId: 'getWhatIf',
        summary: 'How far it is, and the alarms that there would have been',
        tags: ['what-if'],
        params: runParams,
        response: { 200: whatIfSchema, ...problems(401, 403, 404) },
      },
    },
    async (request) => known(whatIf.find(request.params.id)),
  );
  app.delete(
    '/api/what-if/:id',
    {
      config: OFFICE,
      schema: {
        operationId: 'cancelWhatIf',
        summary: 'End it',
        tags: ['what-if'],
        params: runParams,
        response: { 200: whatIfSchema, ...problems(401, 403, 404) },
      },
    },
    async (request) => known(whatIf.cancel(request.params.id)),
  );
}

function known(run: WhatIfState | null): ReturnType<typeof whatIfJson> {
  if (run === null) throw notFound('This question');
  return whatIfJson(run);
}

function questionOf(body: WhatIfBody, { fleet, clock }: ApiDependencies): WhatIfQuestion {
  const { site, unit, limits } = body;
  if (unit !== undefined && site === undefined) throw badRequest('site', 'must be given with unit');
  const units = fleet().units.filter(
    (one) =>
      !one.retired &&
      (site === undefined || one.site === site) &&
      (unit === undefined || one.id === unit),
  );
  if (units.length === 0) throw badRequest(unit === undefined ? 'site' : 'unit', 'is not known');
  const toMs = toStoreTime(body.to ?? clock());
  return { units, limits, fromMs: toStoreTime(body.from ?? 0), toMs };
}
