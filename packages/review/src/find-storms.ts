import type { Alarm } from '@lineside/alarms';
import { marksOf, type StormMark, type UnitEpisode } from './marks.ts';
import { placeKey, type ReviewSite, type UnitPlace } from './place.ts';
import { type Region, regionsOf } from './regions.ts';
import type { Storm } from './storm.ts';
import { type Touched, toStorm } from './touched.ts';
import {
  type SiteWeather,
  type StormWeather,
  stormWeatherAt,
  WEATHER_BEFORE_MS,
} from './weather.ts';

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;

/** Units touched within so long of each other count together. No source. */
const TOGETHER_MS: number = 12 * HOUR_MS;
/** So long without a touch ends a storm. Common practice among hydrologists, no source. */
const STORM_GAP_MS: number = 12 * HOUR_MS;
/** A chain of touches is cut here, so that a wet month is some storms and not one. No source. */
const STORM_LONGEST_MS: number = 10 * DAY_MS;

/** Fewer units together are happenstance, whatever the weather. No source. */
const LEAST_UNITS = 3;
/** And so are fewer than this share of the units watched in the region. No source. */
const LEAST_SHARE = 0.05;

/** What storms are looked for in. */
export interface StormSearch {
  readonly sites: readonly ReviewSite[];
  /** Units that are watched. */
  readonly units: readonly UnitPlace[];
  /** Those of `SEARCH_MARGIN_MS` around, and of `HABIT_BEFORE_MS` before that for habits. */
  readonly episodes: readonly UnitEpisode[];
  readonly alarms: readonly Alarm[];
  /** At least what `weatherToAsk` names; empty where there are no stations. */
  readonly weather: readonly SiteWeather[];
  /** Storms that share times with [fromMs, toMs) are given. */
  readonly fromMs: number;
  readonly toMs: number;
  /** Now: a wetting that goes on long after the last touch is no storm that goes on. */
  readonly asOfMs: number;
}

/** A part of a station's record, half open. */
export interface WeatherSpan {
  readonly site: string;
  readonly fromMs: number;
  readonly toMs: number;
}

/**
 * Storms of a fleet, newest start first.
 *
 * A unit is **touched** when water gets in, when it condenses beyond its own habit, or when it
 * raises an alarm of moisture or leakage. A touch is part of a storm when `LEAST_UNITS` units, and
 * `LEAST_SHARE` of its region, are touched within twelve hours of it, or when the weather there is
 * that of a storm (`stormWeatherAt`). Such touches without a gap of twelve hours are one storm.
 * Whether a touch is part of one depends on its own region within a day only: other regions change
 * nothing, and late data can only join storms, extend them or, where findings are withdrawn, take
 * from them.
 */
export function findStorms(search: StormSearch): readonly Storm[] {
  const marks = marksOf(search.episodes, search.alarms);
  const found = regionsOf(search.sites).flatMap((region) => stormsOfRegion(region, marks, search));
  return found
    .filter(({ startMs, closesMs }) => startMs < search.toMs && closesMs > search.fromMs)
    .sort((one, other) => other.startMs - one.startMs || (one.id < other.id ? 1 : -1));
}

/** Which parts of which stations' records bear on the storms of a search; its `weather` is not read. */
export function weatherToAsk(search: StormSearch): readonly WeatherSpan[] {
  const marks = marksOf(search.episodes, search.alarms).filter(isWithin(search));
  return regionsOf(search.sites).flatMap((region) => {
    const sites = new Set(region.sites.map(({ id }) => id));
    const spans: { fromMs: number; toMs: number }[] = [];
    for (const { site, atMs, makes } of marks) {
      if (!makes || !sites.has(site)) continue;
      const fromMs = atMs - WEATHER_BEFORE_MS;
      const toMs = atMs + DAY_MS;
      const last = spans.at(-1);
      if (last !== undefined && last.toMs >= fromMs) last.toMs = Math.max(last.toMs, toMs);
      else spans.push({ fromMs, toMs });
    }
    return [...sites].flatMap((site) => spans.map((span) => ({ site, ...span })));
  });
}

/**
 * How much further than the span that is asked for episodes and alarms bear on its storms: a chain
 * of touches may start, or go on, that far outside.
 */
export const SEARCH_MARGIN_MS: number = STORM_LONGEST_MS + DAY_MS;

function isWithin({ fromMs, toMs }: StormSearch): (mark: StormMark) => boolean {
  return ({ atMs }) => atMs >= fromMs - SEARCH_MARGIN_MS && atMs < toMs + SEARCH_MARGIN_MS;
}

function stormsOfRegion(
  region: Region,
  all: readonly StormMark[],
  search: StormSearch,
): readonly Storm[] {
  const sites = new Set(region.sites.map(({ id }) => id));
  const marks = all.filter(isWithin(search)).filter(({ site }) => sites.has(site));
  if (marks.length === 0) return [];
  const weather = search.weather.filter(({ site }) => sites.has(site));
  const watchedUnits = search.units.filter(({ site }) => sites.has(site)).length;
  const least = Math.max(LEAST_UNITS, Math.ceil(watchedUnits * LEAST_SHARE));
  const context = { region, marks, weather, watchedUnits, least, asOfMs: search.asOfMs };
  return chains(stormTouches(marks, weather, least)).map((touches) => toStorm(touches, context));
}

/** The touches that are part of a storm, oldest first. */
function stormTouches(
  marks: readonly StormMark[],
  weather: readonly SiteWeather[],
  least: number,
): readonly Touched[] {
  const making = marks.filter(({ makes }) => makes);
  const together = countTogether(making);
  const severeAt = rememberedWeather(weather);
  const touches: Touched[] = [];
  for (const [place, mark] of making.entries()) {
    const unitsTogether = together[place] ?? 0;
    const severe = severeAt(mark.atMs);
    if (unitsTogether >= least || severe.length > 0) {
      touches.push({ mark, unitsTogether, severe });
    }
  }
  return touches;
}

/** Of each mark: distinct units with a mark within `TOGETHER_MS` of it. Marks oldest first. */
function countTogether(marks: readonly StormMark[]): readonly number[] {
  const counts = new Map<string, number>();
  let distinct = 0;
  let first = 0;
  let next = 0;
  return marks.map(({ atMs }) => {
    for (; next < marks.length && (marks[next]?.atMs ?? 0) <= atMs + TOGETHER_MS; next++) {
      const key = placeKey(marks[next] as StormMark);
      const before = counts.get(key) ?? 0;
      if (before === 0) distinct += 1;
      counts.set(key, before + 1);
    }
    for (; (marks[first]?.atMs ?? 0) < atMs - TOGETHER_MS; first++) {
      const key = placeKey(marks[first] as StormMark);
      const left = (counts.get(key) ?? 0) - 1;
      if (left === 0) distinct -= 1;
      counts.set(key, left);
    }
    return distinct;
  });
}

/** The weather of a region's stations, looked at once a hour: marks of one storm are many. */
function rememberedWeather(
  weather: readonly SiteWeather[],
): (atMs: number) => readonly StormWeather[] {
  const known = new Map<number, readonly StormWeather[]>();
  return (atMs) => {
    const hour = Math.floor(atMs / HOUR_MS);
    const before = known.get(hour);
    if (before !== undefined) return before;
    const found = weather.flatMap((one) => stormWeatherAt(one, (hour + 1) * HOUR_MS));
    known.set(hour, found);
    return found;
  };
}

/** Touches without a gap of `STORM_GAP_MS`, none longer than `STORM_LONGEST_MS`. */
function chains(touches: readonly Touched[]): readonly (readonly Touched[])[] {
  const found: Touched[][] = [];
  let open: Touched[] = [];
  for (const touch of touches) {
    const { atMs } = touch.mark;
    const lastMs = open.at(-1)?.mark.atMs ?? atMs;
    const startMs = open[0]?.mark.atMs ?? atMs;
    if (open.length === 0 || atMs - lastMs > STORM_GAP_MS || atMs - startMs > STORM_LONGEST_MS) {
      open = [];
      found.push(open);
    }
    open.push(touch);
  }
  return found;
}
