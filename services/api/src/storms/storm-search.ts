import type { Alarm } from '@lineside/alarms';
import type { Fleet } from '@lineside/fleet';
import {
  findStorms,
  HABIT_BEFORE_MS,
  SEARCH_MARGIN_MS,
  type Storm,
  type StormSearch,
  weatherToAsk,
} from '@lineside/review';
import { mayReadSite, type Principal } from '../auth/principal.ts';
import type { ApiDependencies } from '../dependencies.ts';
import { PAGE_MOST_ITEMS } from '../schemas/page.ts';
import { toStoreTime } from '../schemas/time-fields.ts';
import { readWeather } from './station-weather.ts';

export interface StormSpan {
  readonly fromMs: number;
  readonly toMs: number;
}

/** Storms and what they were found in. */
export interface FoundStorms {
  readonly storms: readonly Storm[];
  readonly search: StormSearch;
}

/**
 * Storms that overlap a span, newest first, found in what the caller may read only: what others'
 * sites had changes nothing and is not told.
 */
export async function searchStorms(
  dependencies: ApiDependencies,
  principal: Principal,
  span: StormSpan,
): Promise<FoundStorms> {
  const { records, telemetry, clock } = dependencies;
  const { sites, units } = readable(dependencies.fleet(), principal);
  const ids = sites.map(({ id }) => id);
  const around = {
    fromMs: toStoreTime(span.fromMs - SEARCH_MARGIN_MS),
    toMs: toStoreTime(span.toMs + SEARCH_MARGIN_MS),
  };
  const [episodes, alarms] = await Promise.all([
    records.episodesBetween({
      fromMs: toStoreTime(around.fromMs - HABIT_BEFORE_MS),
      toMs: around.toMs,
      sites: ids,
    }),
    alarmsRaised(dependencies, ids, around),
  ]);
  const bare: StormSearch = {
    sites,
    units: units.map(({ site, id }) => ({ site, unit: id })),
    episodes,
    alarms,
    weather: [],
    ...span,
    asOfMs: clock(),
  };
  const search = { ...bare, weather: await readWeather(telemetry, weatherToAsk(bare)) };
  return { storms: findStorms(search), search };
}

/** Sites that the caller may read, and their units that are watched. */
export function readable(fleet: Fleet, principal: Principal): Pick<Fleet, 'sites' | 'units'> {
  return {
    sites: fleet.sites.filter(({ id }) => mayReadSite(principal, id)),
    units: fleet.units.filter(({ site, retired }) => !retired && mayReadSite(principal, site)),
  };
}

/** Alarms of the sites raised within the span. */
async function alarmsRaised(
  { records }: ApiDependencies,
  sites: readonly string[],
  { fromMs, toMs }: StormSpan,
): Promise<readonly Alarm[]> {
  const found: Alarm[] = [];
  let cursor: string | null = null;
  do {
    const page: Awaited<ReturnType<typeof records.alarms>> = await records.alarms({
      sites,
      toMs,
      limit: PAGE_MOST_ITEMS,
      cursor,
    });
    const raised = page.items.filter(({ raisedAtMs }) => raisedAtMs >= fromMs);
    found.push(...raised);
    // Newest first: the first that is older ends it.
    cursor = raised.length < page.items.length ? null : page.next;
  } while (cursor !== null);
  return found;
}
