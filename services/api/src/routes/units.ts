import { holdInForce } from '@lineside/alarms';
import type { UnitHold } from '@lineside/storage';
import { type AlarmAnswer, alarmAnswers } from '../answers/alarm-answer.ts';
import { holdJson } from '../answers/hold-json.ts';
import type { UnitSurroundings } from '../answers/unit-json.ts';
import { sitesById, unitJson, unitKey } from '../answers/unit-json.ts';
import { principalOf } from '../auth/gate.ts';
import { mayReadSite, type Principal } from '../auth/principal.ts';
import type { ApiDependencies } from '../dependencies.ts';
import type { HoldJson } from '../schemas/hold.ts';
import { unitParams } from '../schemas/ids.ts';
import { PAGE_MOST_ITEMS, type PageJson, pageOf } from '../schemas/page.ts';
import { problems } from '../schemas/problem-answers.ts';
import { type UnitJson, type UnitListQuery, unitListQuery, unitSchema } from '../schemas/unit.ts';
import type { Api } from './api.ts';
import { findUnit } from './find-unit.ts';
import { compareUnits, decodeUnitCursor, encodeUnitCursor, isAfter } from './unit-cursor.ts';

export function unitRoutes(app: Api, dependencies: ApiDependencies): void {
  app.get(
    '/api/units',
    {
      schema: {
        operationId: 'listUnits',
        summary: 'Units by site and unit, with condition and standing alarms',
        tags: ['units'],
        querystring: unitListQuery,
        response: { 200: pageOf(unitSchema), ...problems(400, 401) },
      },
    },
    (request) => unitPage(dependencies, principalOf(request), request.query),
  );
  app.get(
    '/api/units/:site/:unit',
    {
      schema: {
        operationId: 'readUnit',
        summary: 'One unit, retired ones included',
        tags: ['units'],
        params: unitParams,
        response: { 200: unitSchema, ...problems(401, 404) },
      },
    },
    async (request) => {
      const unit = findUnit(dependencies.fleet(), principalOf(request), request.params);
      const only = { sites: [unit.site], unit: unit.id };
      return unitJson(unit, await surroundings(dependencies, only));
    },
  );
}

async function unitPage(
  dependencies: ApiDependencies,
  principal: Principal,
  query: UnitListQuery,
): Promise<PageJson<UnitJson>> {
  const after = query.cursor === undefined ? null : decodeUnitCursor(query.cursor);
  const rest = dependencies
    .fleet()
    .units.filter((unit) => mayReadSite(principal, unit.site))
    .filter((unit) => query.retired || !unit.retired)
    .filter((unit) => after === null || isAfter(unit, after))
    .sort(compareUnits);
  const page = rest.slice(0, query.limit);
  const sites = [...new Set(page.map((unit) => unit.site))];
  const around = await surroundings(dependencies, { sites });
  const last = rest.length > page.length ? page.at(-1) : undefined;
  return {
    items: page.map((unit) => unitJson(unit, around)),
    next: last === undefined ? null : encodeUnitCursor(last),
  };
}

interface Extent {
  readonly sites: readonly string[];
  readonly unit?: string;
}

async function surroundings(
  dependencies: ApiDependencies,
  extent: Extent,
): Promise<UnitSurroundings> {
  const { records, live, clock } = dependencies;
  const nowMs = clock();
  const [presences, alarms, holds] = await Promise.all([
    records.presences(),
    standingAlarms(dependencies, extent),
    records.unitHoldsAt(nowMs),
  ]);
  const online = new Map(presences.map((one) => [unitKey(one.site, one.unit), one.online]));
  return {
    sites: sitesById(dependencies.fleet()),
    live,
    online,
    alarms,
    holds: holdsInForce(holds, nowMs),
  };
}

/** The one in force of each unit. */
function holdsInForce(holds: readonly UnitHold[], nowMs: number): ReadonlyMap<string, HoldJson> {
  const byUnit = new Map<string, UnitHold[]>();
  for (const hold of holds) {
    const key = unitKey(hold.site, hold.unit);
    byUnit.set(key, [...(byUnit.get(key) ?? []), hold]);
  }
  const inForce = [...byUnit].map(([key, ofUnit]) => [key, holdInForce(ofUnit, nowMs)] as const);
  return new Map(inForce.flatMap(([key, hold]) => (hold === null ? [] : [[key, holdJson(hold)]])));
}

/** Fetched once for all units of an answer. */
async function standingAlarms(
  { records, fleet }: ApiDependencies,
  extent: Extent,
): Promise<ReadonlyMap<string, readonly AlarmAnswer[]>> {
  const byUnit = new Map<string, AlarmAnswer[]>();
  const answer = alarmAnswers(fleet);
  let cursor: string | null = null;
  do {
    const query = { ...extent, state: 'standing', limit: PAGE_MOST_ITEMS, cursor } as const;
    const { items, next } = await records.alarms(query);
    for (const alarm of items) {
      const key = unitKey(alarm.site, alarm.unit);
      const alarms = byUnit.get(key) ?? [];
      byUnit.set(key, alarms);
      alarms.push(answer(alarm));
    }
    cursor = next;
  } while (cursor !== null);
  return byUnit;
}
