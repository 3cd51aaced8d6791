import {
  type FieldGuard,
  type FieldGuards,
  hasShape,
  isListOf,
  isNullOr,
  isNumber,
  isNumberOrNull,
} from '../field-guards.ts';
import { type CurvePoint, type LeakageEstimate, leakageAt } from './humidity-curve.ts';

/**
 * How the unit's leakage answers the humidity of the film, as it is now, fault or not: what the
 * next wet day will find. Raises nothing.
 *
 * Uses: `leakr` where the node sends it, else `leak`; the film's humidity; whether contactors are
 * in. Learned from one reading in five minutes, apart at rest and while running. Each bin of
 * humidity remembers its last eight hours, so that it follows a growing track; a bin that was not
 * visited for six weeks counts for little. Rest is preferred: the sensor's error goes with the
 * load, and what hangs behind a contactor is not the line side.
 */
export interface LeakageResponseSlice {
  /** When rest and running were last learned from, ms. */
  readonly restAtMs: number | null;
  readonly runningAtMs: number | null;
  readonly rest: readonly (Bin | null)[];
  readonly running: readonly (Bin | null)[];
  /** The week (of 7 days since 1970) that goes on, and its wettest film, %RH. */
  readonly week: number | null;
  readonly wettestPercent: number;
  /** The weeks before, oldest first. */
  readonly weeks: readonly WeekSeen[];
  /** What it was before the last repair. */
  readonly repaired: BeforeRepair | null;
}

/** Level and mean deviation (mA), hours remembered, day of the last visit. */
type Bin = readonly [milliamps: number, spread: number, hours: number, day: number];

/** Week, dry- and wet-day leakage at its end (mA), wettest film (%RH). */
export type WeekSeen = readonly [
  week: number,
  dry: number | null,
  wet: number | null,
  wettest: number,
];

/** Summary of a response that a repair has ended. */
interface BeforeRepair {
  readonly atMs: number;
  readonly dryMilliamps: number | null;
  readonly wetMilliamps: number | null;
  /** The wettest film since the repair, %RH. */
  readonly wettestSincePercent: number;
}

/** Dry-weather and wet-day leakage are what the response gives here, %RH. */
export const DRY_DAY_PERCENT = 50;
export const WET_DAY_PERCENT = 95;
/** A repair is tested by weather once a film as humid as this was seen, %RH. */
export const TESTING_PERCENT = 85;

const DAY_MS = 86_400_000;
const HOUR_MS = 3_600_000;
const WEEK_MS: number = 7 * DAY_MS;
const MOST_WEEKS = 10;
const LEARN_EVERY_MS = 300_000;
const MOST_GAP_MS = 900_000;
/** Lower edges of the bins, %RH; narrow where surfaces are steep. */
const EDGES_PERCENT = [0, 45, 55, 65, 72, 78, 83, 88, 93] as const;
const MIDDLES_PERCENT: readonly number[] = [38, 50, 60, 68.5, 75, 80.5, 85.5, 90.5, 96];
const BINS: number = EDGES_PERCENT.length;
const REMEMBERED_HOURS = 8;
const STALE_DAYS = 42;
/** What a stale bin still counts for. */
const STALE_HOURS = 0.5;
/** A bin says something after half an hour. */
const LEAST_HOURS = 0.5;

const NO_BINS: readonly null[] = new Array<null>(BINS).fill(null);

export const LEAKAGE_RESPONSE_START: LeakageResponseSlice = {
  restAtMs: null,
  runningAtMs: null,
  rest: NO_BINS,
  running: NO_BINS,
  week: null,
  wettestPercent: 0,
  weeks: [],
  repaired: null,
};

const areBins: FieldGuard = (value) =>
  Array.isArray(value) &&
  value.length === BINS &&
  value.every(isNullOr((bin) => Array.isArray(bin) && bin.length === 4 && bin.every(isNumber)));

const isWeek: FieldGuard = (value) =>
  Array.isArray(value) && value.length === 4 && value.every(isNumberOrNull);

export const LEAKAGE_RESPONSE_FIELDS: FieldGuards<LeakageResponseSlice> = {
  restAtMs: isNumberOrNull,
  runningAtMs: isNumberOrNull,
  rest: areBins,
  running: areBins,
  week: isNumberOrNull,
  wettestPercent: isNumber,
  weeks: isListOf(isWeek, MOST_WEEKS),
  repaired: isNullOr(
    hasShape<BeforeRepair>({
      atMs: isNumber,
      dryMilliamps: isNumberOrNull,
      wetMilliamps: isNumberOrNull,
      wettestSincePercent: isNumber,
    }),
  ),
};

/** To be called for settled, credible leakage under a film of known humidity, door closed. */
export function stepLeakageResponse(
  slice: LeakageResponseSlice,
  atMs: number,
  milliamps: number,
  load: 'idle' | 'running',
  filmPercent: number,
): LeakageResponseSlice {
  const lastMs = load === 'idle' ? slice.restAtMs : slice.runningAtMs;
  if (lastMs !== null && atMs - lastMs < LEARN_EVERY_MS) return slice;
  const week = Math.floor(atMs / WEEK_MS);
  const turned = slice.week !== null && week > slice.week ? withWeek(slice, atMs) : slice;
  const bins = load === 'idle' ? turned.rest : turned.running;
  const elapsedMs = Math.min(atMs - (lastMs ?? atMs), MOST_GAP_MS);
  const index = binOf(filmPercent);
  const next = bins.slice();
  next[index] = nextBin(bins[index] ?? null, atMs, milliamps, elapsedMs);
  const film = Math.round(filmPercent);
  const { repaired } = turned;
  return {
    restAtMs: load === 'idle' ? atMs : turned.restAtMs,
    runningAtMs: load === 'running' ? atMs : turned.runningAtMs,
    rest: load === 'idle' ? next : turned.rest,
    running: load === 'running' ? next : turned.running,
    week,
    wettestPercent: turned.week === week ? Math.max(turned.wettestPercent, film) : film,
    weeks: turned.weeks,
    repaired:
      repaired !== null && film > repaired.wettestSincePercent
        ? { ...repaired, wettestSincePercent: film }
        : repaired,
  };
}

/** A repair of what leaks: the response is learned anew, and what it was is kept to compare. */
export function repairLeakageResponse(
  slice: LeakageResponseSlice,
  atMs: number,
): LeakageResponseSlice {
  const dry = responseAt(slice, DRY_DAY_PERCENT, atMs);
  const wet = responseAt(slice, WET_DAY_PERCENT, atMs);
  // A second record of the same visit must not replace what was with nothing.
  if (dry === null && wet === null) return slice;
  return {
    ...LEAKAGE_RESPONSE_START,
    repaired: {
      atMs,
      dryMilliamps: dry?.milliamps ?? null,
      wetMilliamps: wet?.milliamps ?? null,
      wettestSincePercent: 0,
    },
  };
}

/** What the unit leaks at a film of this humidity, from rest where rest was seen. */
export function responseAt(
  slice: LeakageResponseSlice,
  humidityPercent: number,
  atMs: number,
): LeakageEstimate | null {
  return leakageAt(responsePoints(slice, atMs), humidityPercent);
}

/** The bins that say something, in ascending humidity; of rest when two of rest do. */
export function responsePoints(slice: LeakageResponseSlice, atMs: number): readonly CurvePoint[] {
  const rest = pointsOf(slice.rest, atMs);
  return rest.length >= 2 ? rest : longer(rest, pointsOf(slice.running, atMs));
}

function longer(
  rest: readonly CurvePoint[],
  running: readonly CurvePoint[],
): readonly CurvePoint[] {
  return running.length > rest.length ? running : rest;
}

function pointsOf(bins: readonly (Bin | null)[], atMs: number): readonly CurvePoint[] {
  const today = Math.floor(atMs / DAY_MS);
  return bins.flatMap((bin, index) => {
    if (bin === null) return [];
    const [milliamps, spreadMilliamps, seen, day] = bin;
    const hours = today - day > STALE_DAYS ? Math.min(seen, STALE_HOURS) : seen;
    if (hours < LEAST_HOURS) return [];
    return [{ humidityPercent: MIDDLES_PERCENT[index] ?? 0, milliamps, spreadMilliamps, hours }];
  });
}

function binOf(percent: number): number {
  let index = BINS - 1;
  while (index > 0 && percent < (EDGES_PERCENT[index] ?? 0)) index -= 1;
  return index;
}

function nextBin(bin: Bin | null, atMs: number, milliamps: number, elapsedMs: number): Bin {
  const day = Math.floor(atMs / DAY_MS);
  const elapsedHours = elapsedMs / HOUR_MS;
  if (bin === null) return [fine(milliamps), 0, fine(elapsedHours), day];
  const [level, spread, seen, lastDay] = bin;
  const hours = day - lastDay > STALE_DAYS ? Math.min(seen, STALE_HOURS) : seen;
  const share = elapsedHours / (elapsedHours + Math.max(hours, elapsedHours));
  const deviation = milliamps - level;
  return [
    fine(level + share * deviation),
    fine(spread + share * (Math.abs(deviation) - spread)),
    fine(Math.min(hours + elapsedHours, REMEMBERED_HOURS)),
    day,
  ];
}

function withWeek(slice: LeakageResponseSlice, atMs: number): LeakageResponseSlice {
  const { week, weeks, wettestPercent } = slice;
  if (week === null) return slice;
  const dry = responseAt(slice, DRY_DAY_PERCENT, atMs)?.milliamps ?? null;
  const wet = responseAt(slice, WET_DAY_PERCENT, atMs)?.milliamps ?? null;
  const seen: WeekSeen = [week, dry, wet, wettestPercent];
  return { ...slice, weeks: [...weeks.slice(1 - MOST_WEEKS), seen] };
}

/** Fine enough that a level which moves by a hundredth of its error each time still moves. */
function fine(value: number): number {
  return Math.round(value * 1e4) / 1e4;
}
