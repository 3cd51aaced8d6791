import { rfc3339 } from '@lineside/alarms';
import { CALLS, shiftsBetween } from '@lineside/oncall';
import { shiftJson, teamOnCallJson } from '../answers/on-call-json.ts';
import { NO_ROTA, rotaJson } from '../answers/rota-json.ts';
import { principalOf } from '../auth/gate.ts';
import { mayReadSite } from '../auth/principal.ts';
import type { ApiDependencies } from '../dependencies.ts';
import { badRequest, notFound } from '../errors/api-error.ts';
import type { RotaDesk } from '../on-call/rota-desk.ts';
import { visibleTeams } from '../on-call/rota-person.ts';
import { onCallQuery, onCallSchema, shiftsQuery, shiftsSchema } from '../schemas/on-call.ts';
import { problems } from '../schemas/problem-answers.ts';
import { rotaSchema } from '../schemas/rota.ts';
import { toStoreTime } from '../schemas/time-fields.ts';
import type { Api } from './api.ts';

const DAY_MS = 86_400_000;
/** As far as people plan covers and swaps. */
const SHIFTS_DEFAULT_MS = 42 * DAY_MS;
/** A year and the holidays after it; each shift is computed. */
const SHIFTS_LONGEST_MS = 400 * DAY_MS;

export function onCallRoutes(app: Api, dependencies: ApiDependencies, desk: RotaDesk): void {
  const { clock } = dependencies;
  app.get(
    '/api/on-call',
    {
      schema: {
        operationId: 'readOnCall',
        summary: 'Who is on call and who is next, by team; no team before a rota was applied',
        tags: ['on call'],
        querystring: onCallQuery,
        response: { 200: onCallSchema, ...problems(400, 401) },
      },
    },
    async (request) => {
      const principal = principalOf(request);
      const atMs = toStoreTime(request.query.at ?? clock());
      const kept = await desk.read();
      if (kept === null) return { at: rfc3339(atMs), teams: [], office: null };
      const teams = visibleTeams(kept.rota, principal).map((team) => ({
        ...team,
        sites: team.sites.filter((site) => mayReadSite(principal, site)),
      }));
      return {
        at: rfc3339(atMs),
        teams: teams.map((team) => teamOnCallJson(kept.rota, team, atMs)),
        office: kept.rota.office.name,
      };
    },
  );
  shiftsRoute(app, desk, clock);
  rotaRoute(app, dependencies, desk);
}

function rotaRoute(app: Api, { fleet, clock }: ApiDependencies, desk: RotaDesk): void {
  app.get(
    '/api/on-call/rota',
    {
      config: { roles: ['office', 'technician'] },
      schema: {
        operationId: 'readRota',
        summary: 'The whole rota, its covers and swaps, and what somebody should look at',
        tags: ['on call'],
        response: { 200: rotaSchema, ...problems(401, 403) },
      },
    },
    async () => {
      const kept = await desk.read();
      if (kept === null) return NO_ROTA;
      const sites = fleet().sites.map(({ id }) => id);
      return rotaJson(kept, sites, clock());
    },
  );
}

function shiftsRoute(app: Api, desk: RotaDesk, clock: () => number): void {
  app.get(
    '/api/on-call/shifts',
    {
      schema: {
        operationId: 'listShifts',
        summary: 'Shifts that touch [from, to), whole and without gap between them',
        tags: ['on call'],
        querystring: shiftsQuery,
        response: { 200: shiftsSchema, ...problems(400, 401, 404) },
      },
    },
    async (request) => {
      const { team: wanted } = request.query;
      const fromMs = toStoreTime(request.query.from ?? clock());
      const toMs = toStoreTime(request.query.to ?? fromMs + SHIFTS_DEFAULT_MS);
      if (toMs <= fromMs) throw badRequest('from', 'must be before to');
      if (toMs - fromMs > SHIFTS_LONGEST_MS) {
        throw badRequest('to', 'must be at most 400 days after from');
      }
      const kept = await desk.read();
      const teams = kept === null ? [] : visibleTeams(kept.rota, principalOf(request));
      const asked = wanted === undefined ? teams : teams.filter(({ id }) => id === wanted);
      if (wanted !== undefined && asked.length === 0) throw notFound('This team');
      if (kept === null) return { items: [] };
      const { rota } = kept;
      const items = asked.flatMap(({ id }) =>
        CALLS.flatMap((call) =>
          shiftsBetween(rota, id, call, fromMs, toMs).map((shift) => shiftJson(rota, shift)),
        ),
      );
      return { items };
    },
  );
}
