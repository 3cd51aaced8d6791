import type { StormMark } from './marks.ts';
import { comparePlaces, compareText, placeKey, type UnitPlace } from './place.ts';
import type { Region } from './regions.ts';
import type { Storm } from './storm.ts';
import { stormId } from './storm-id.ts';
import {
  mostTelling,
  type SiteWeather,
  STORM_WEATHER,
  type StormWeather,
  WEATHER_BEFORE_MS,
  weatherSummary,
} from './weather.ts';
import { becauseOfUnits, becauseOfWeather, stormName } from './words.ts';

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;

/** Alarms and repairs within a day of the last touch, or of drying, belong to the storm. No source. */
const CLOSES_AFTER_MS: number = DAY_MS;
/** A wetting that goes on so long after the last touch is a wet unit, not a storm. No source. */
const GOES_ON_MS: number = 3 * DAY_MS;
/** Weather before the first touch that is told with the storm. */
const WEATHER_LEAD_MS: number = DAY_MS;

/** A mark that is part of a storm, and why. */
export interface Touched {
  readonly mark: StormMark;
  /** Units of the region touched within twelve hours of it. */
  readonly unitsTogether: number;
  readonly severe: readonly StormWeather[];
}

export interface StormContext {
  readonly region: Region;
  /** All marks of the region, oldest first. */
  readonly marks: readonly StormMark[];
  readonly weather: readonly SiteWeather[];
  readonly watchedUnits: number;
  /** Units together that make a storm. */
  readonly least: number;
  readonly asOfMs: number;
}

/** The storm of one chain of touches. */
export function toStorm(touches: readonly Touched[], context: StormContext): Storm {
  const first = firstOf(touches);
  const startMs = first.mark.atMs;
  const lastTouchMs = touches.at(-1)?.mark.atMs ?? startMs;
  const members = context.marks.filter(
    ({ atMs }) => atMs >= startMs && atMs <= lastTouchMs + CLOSES_AFTER_MS,
  );
  const own = members.filter(({ atMs, makes }) => !makes || atMs <= lastTouchMs);
  const ends = endsOf(own, lastTouchMs, context.asOfMs);
  const units = distinctUnits(own);
  const sites = sitesByUnits(units);
  // Touches of one hour share one list.
  const lists = new Set(touches.map((touch) => touch.severe));
  const severe = strongest([...lists].flat());
  const siteNames = sites.map(
    (id) => context.region.sites.find((site) => site.id === id)?.name ?? id,
  );
  const together = Math.max(...touches.map(({ unitsTogether }) => unitsTogether));
  // What melts fell days before.
  const isMelt = severe.some(({ kind }) => kind === 'melt');
  const weatherFromMs = startMs - (isMelt ? WEATHER_BEFORE_MS : WEATHER_LEAD_MS);
  const weatherToMs = lastTouchMs + CLOSES_AFTER_MS / 2;
  const station = mostTelling(context.weather, weatherFromMs, weatherToMs);
  return {
    id: stormId({ atMs: startMs, site: first.mark.site }),
    region: context.region.id,
    name: stormName(
      severe,
      touches.map(({ mark }) => mark.of),
      siteNames,
    ),
    startMs,
    endMs: ends.endMs,
    lastTouchMs,
    closesMs: Math.max(ends.endMs ?? context.asOfMs, lastTouchMs) + CLOSES_AFTER_MS,
    sites,
    units,
    watchedUnits: context.watchedUnits,
    because: [
      ...(together >= context.least ? [becauseOfUnits(together, context)] : []),
      ...severe.map((one) => becauseOfWeather(one, context.region.sites)),
    ],
    weather: station === null ? null : weatherSummary(station, weatherFromMs, weatherToMs),
    severe,
  };
}

/** The first touch; of those of one moment the one whose site sorts first. */
function firstOf(touches: readonly Touched[]): Touched {
  const [first] = touches.toSorted(
    (one, other) => one.mark.atMs - other.mark.atMs || comparePlaces(one.mark, other.mark),
  );
  if (first === undefined) throw new Error('a storm has at least one touch');
  return first;
}

function endsOf(
  marks: readonly StormMark[],
  lastTouchMs: number,
  asOfMs: number,
): { readonly endMs: number | null } {
  const isOpen = marks.some(({ endMs }) => endMs === null);
  if (isOpen && asOfMs - lastTouchMs <= GOES_ON_MS) return { endMs: null };
  return {
    endMs: marks.reduce((last, { endMs, atMs }) => Math.max(last, endMs ?? atMs), lastTouchMs),
  };
}

function distinctUnits(marks: readonly StormMark[]): readonly UnitPlace[] {
  const units = new Map(marks.map(({ site, unit }) => [placeKey({ site, unit }), { site, unit }]));
  return [...units.values()].sort(comparePlaces);
}

function sitesByUnits(units: readonly UnitPlace[]): readonly string[] {
  const counts = new Map<string, number>();
  for (const { site } of units) counts.set(site, (counts.get(site) ?? 0) + 1);
  return [...counts]
    .sort(([a, one], [b, other]) => other - one || compareText(a, b))
    .map(([site]) => site);
}

/** The greatest amount of each kind of weather, in the order of `STORM_WEATHER`. */
function strongest(reasons: readonly StormWeather[]): readonly StormWeather[] {
  return STORM_WEATHER.flatMap((kind) => {
    const [most] = reasons
      .filter((one) => one.kind === kind)
      .sort((one, other) => other.amount - one.amount || compareText(one.site, other.site));
    return most === undefined ? [] : [most];
  });
}
