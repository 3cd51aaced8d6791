import { randomBytes } from 'node:crypto';
import { type Rota, type StatedChange, withCalledOff, withChange } from '@lineside/oncall';
import type { FastifyRequest } from 'fastify';
import { shiftJson } from '../answers/on-call-json.ts';
import { principalOf } from '../auth/gate.ts';
import type { ApiDependencies } from '../dependencies.ts';
import { ApiError, badRequest, notFound } from '../errors/api-error.ts';
import { changeEffect, newNotices } from '../on-call/change-effect.ts';
import { refusedChange } from '../on-call/refused-change.ts';
import type { KeptRota, RotaDesk } from '../on-call/rota-desk.ts';
import { checkMayChange } from '../on-call/who-may-change.ts';
import { problems } from '../schemas/problem-answers.ts';
import {
  type ChangeOutcomeJson,
  callOffBody,
  changeBody,
  changeOutcomeSchema,
  changeParams,
  teamParams,
} from '../schemas/rota-change.ts';
import type { Api } from './api.ts';

const ACTORS = { roles: ['office', 'technician'] } as const;

interface Parts {
  readonly desk: RotaDesk;
  readonly clock: () => number;
}

export function rotaChangeRoutes(app: Api, { clock }: ApiDependencies, desk: RotaDesk): void {
  const parts = { desk, clock };
  app.post(
    '/api/on-call/teams/:team/changes',
    {
      config: ACTORS,
      schema: {
        operationId: 'arrangeChange',
        summary: 'Arrange a cover or a swap of shifts, or try what would come of it',
        description:
          'Technicians for shifts of their own, the office for all. Refused when it would give ' +
          'nobody anything.',
        tags: ['on call'],
        params: teamParams,
        body: changeBody,
        response: {
          200: changeOutcomeSchema,
          201: changeOutcomeSchema,
          ...problems(400, 401, 403, 404, 409, 413, 415),
        },
      },
    },
    async (request, reply) => {
      const { team } = request.params;
      const kept = await rotaOf(parts, team, request.body.generation);
      const change: StatedChange = { ...request.body.change, id: newChangeId() };
      checkMayChange(principalOf(request), kept.rota, change);
      const after = checkedChange(kept.rota, team, change);
      const { tryOnly } = request.body;
      const outcome = outcomeOf(kept, after, team, change.id, clock());
      if (tryOnly) return reply.code(200).send({ ...outcome, kept: false });
      const generation = await desk.replace(kept, after);
      note(request, { team, change });
      return reply.code(201).send({ ...outcome, generation });
    },
  );
  callOffRoute(app, parts);
}

function callOffRoute(app: Api, parts: Parts): void {
  const { desk, clock } = parts;
  app.post(
    '/api/on-call/teams/:team/changes/:id/call-off',
    {
      config: ACTORS,
      schema: {
        operationId: 'callOffChange',
        summary: 'Call a cover or swap off; every calendar learns of it',
        tags: ['on call'],
        params: changeParams,
        body: callOffBody,
        response: { 200: changeOutcomeSchema, ...problems(400, 401, 403, 404, 409, 413, 415) },
      },
    },
    async (request) => {
      const { team, id } = request.params;
      const kept = await rotaOf(parts, team, request.body?.generation);
      const change = kept.rota.teams
        .find((one) => one.id === team)
        ?.changes.find((one) => one.id === id);
      if (change === undefined) throw notFound('This cover or swap');
      checkMayChange(principalOf(request), kept.rota, change);
      if (change.calledOff) throw new ApiError('API_CONFLICT', 'It is called off already.');
      const effect = changeEffect(kept.rota, team, id, clock());
      if (effect.isEffective && effect.shifts.length === 0) {
        throw new ApiError('API_CONFLICT', 'It is over; what has been cannot be called off.');
      }
      const after = withCalledOff(kept.rota, team, id);
      const generation = await desk.replace(kept, after);
      note(request, { team, calledOff: id });
      const notices = newNotices(kept.rota, after, clock());
      return { id, kept: true, generation, shifts: [], notices };
    },
  );
}

/** Rejects with 404 for an unknown team, 409 when the caller looked at another rota. */
async function rotaOf(
  { desk }: Parts,
  team: string,
  generation: number | undefined,
): Promise<KeptRota> {
  const kept = await desk.read();
  if (kept === null || !kept.rota.teams.some(({ id }) => id === team)) throw notFound('This team');
  if (generation !== undefined && generation !== kept.generation) {
    throw new ApiError('API_CONFLICT', 'The rota was changed in the meantime; look at it again.');
  }
  return kept;
}

function checkedChange(rota: Rota, team: string, change: StatedChange): Rota {
  try {
    return withChange(rota, team, change);
  } catch (error) {
    throw refusedChange(error) ?? error;
  }
}

function outcomeOf(
  kept: KeptRota,
  after: Rota,
  team: string,
  id: string,
  nowMs: number,
): ChangeOutcomeJson {
  const { shifts, isEffective } = changeEffect(after, team, id, nowMs);
  if (!isEffective) {
    const words = 'gives nobody anything: whoever gives a shift away does not have it then';
    throw badRequest('change', `${words}, within the next 400 days`);
  }
  if (shifts.length === 0) throw badRequest('change', 'is over already; it must end after now');
  return {
    id,
    kept: true,
    generation: kept.generation,
    shifts: shifts.map((shift) => shiftJson(after, shift)),
    notices: newNotices(kept.rota, after, nowMs),
  };
}

/** Fits the ids of a rota, which have no capital letters. */
function newChangeId(): string {
  return `c-${randomBytes(6).toString('hex')}`;
}

function note(request: FastifyRequest, what: object): void {
  request.log.info({ by: principalOf(request).name, ...what }, 'the rota was changed');
}
