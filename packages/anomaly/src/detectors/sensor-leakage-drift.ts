import {
  type FieldGuard,
  type FieldGuards,
  hasShape,
  isListOf,
  isNullOr,
  isNumber,
  isNumberOrNull,
} from '../field-guards.ts';
import { type FilmHumiditySlice, filmPercentAt } from './film-humidity.ts';
import type { LeakageLevelSlice } from './leakage-level.ts';
import { smoothed } from './smoothing.ts';

/**
 * A leakage channel whose zero creeps.
 *
 * Uses: what leaks at rest beyond health, the humidity of the film. A track conducts through a wet
 * film: what it leaks dry is small against what it leaks humid, also once its dry floor creeps,
 * and insulation of a load leaks nothing at rest. A zero that creeps is there at rest from day to
 * day, grows slowly, and does not know the weather. So each day of rest that saw dry and humid
 * film gives a mean and the slope against the film, and three such days in a row that grow and lie
 * flat tell a drift. What comes at once is told elsewhere and is not part of it
 * (`leakage-step.ts`). Until the weather has shown a humid film nothing is said.
 *
 * From then on the drift is taken off the reading before anything is concluded from it: a step or
 * an answer to the film on top of it is still held against the limits.
 */
export interface LeakageDriftSlice {
  /** The reading that was last taken in. */
  readonly atMs: number | null;
  readonly day: RestDay | null;
  /** Means of the last days that did not answer the film, oldest first, mA. */
  readonly means: readonly number[];
  /** What is to be taken off the reading, mA; null while no drift is found. */
  readonly offsetMilliamps: number | null;
}

/** Sums over the readings of a day at rest: film in %RH, excess in hundredths of a milliampere. */
interface RestDay {
  readonly n: number;
  readonly film: number;
  readonly excess: number;
  readonly filmSquared: number;
  readonly filmExcess: number;
  readonly driest: number;
  readonly wettest: number;
}

const HOUR_MS = 3_600_000;
const DAY_MS: number = 24 * HOUR_MS;
/** One reading in five minutes is enough of a sample. */
const SAMPLE_EVERY_MS = 300_000;
const SAMPLE_MOST_MS: number = 3 * SAMPLE_EVERY_MS;
/** Three hours of rest. */
const LEAST_SAMPLES = 36;
/** A film leaks steeply above 60 to 75 %RH: a day has to come well into that, and out of it. */
const LEAST_SPAN_PERCENT = 15;
const HUMID_PERCENT = 72;
/** A track leaks several times as much humid as dry: more than this over the day's span. */
const FLAT_SHARE = 0.6;
const FLAT_MILLIAMPS = 0.3;
const DAYS = 3;
/** Less a day is season and dirt. */
const LEAST_GROWTH_MILLIAMPS = 0.1;
const LEAST_DRIFT_MILLIAMPS = 1.2;
/** The fastest that an offset is followed, mA a day: a wet night moves it by a fraction. */
const FOLLOWED_MILLIAMPS_A_DAY = 3;
/** The whole reading below half of it: somebody replaced or zeroed the sensor, or it crept back. */
const GONE_SHARE = 0.5;
const GONE_TIME_CONSTANT_MS: number = 3 * HOUR_MS;
/** Forgotten below this. */
const LEAST_OFFSET_MILLIAMPS = 0.4;

export const LEAKAGE_DRIFT_START: LeakageDriftSlice = {
  atMs: null,
  day: null,
  means: [],
  offsetMilliamps: null,
};

const isRestDay: FieldGuard = isNullOr(
  hasShape<RestDay>({
    n: isNumber,
    film: isNumber,
    excess: isNumber,
    filmSquared: isNumber,
    filmExcess: isNumber,
    driest: isNumber,
    wettest: isNumber,
  }),
);

export const LEAKAGE_DRIFT_FIELDS: FieldGuards<LeakageDriftSlice> = {
  atMs: isNumberOrNull,
  day: isRestDay,
  means: isListOf(isNumber, DAYS),
  offsetMilliamps: isNumberOrNull,
};

/**
 * Takes in the newest judged leakage, that is the one before the instant at hand.
 *
 * @param level its `excessMilliamps` is less the offset that was found so far
 * @param sentMilliamps that leakage as it was sent
 */
export function stepLeakageDrift(
  slice: LeakageDriftSlice,
  level: LeakageLevelSlice,
  film: FilmHumiditySlice,
  sentMilliamps: number,
): LeakageDriftSlice {
  const { atMs, idleAtMs, excessMilliamps } = level;
  if (atMs === null || idleAtMs !== atMs || excessMilliamps === null) return slice;
  const elapsedMs = slice.atMs === null ? SAMPLE_EVERY_MS : atMs - slice.atMs;
  if (elapsedMs < SAMPLE_EVERY_MS) return slice;
  const filmPercent = filmPercentAt(film, atMs);
  if (filmPercent === null) return slice;
  const { offsetMilliamps } = slice;
  if (offsetMilliamps !== null) {
    const next =
      sentMilliamps < GONE_SHARE * offsetMilliamps
        ? smoothed(offsetMilliamps, 0, Math.min(elapsedMs, SAMPLE_MOST_MS), GONE_TIME_CONSTANT_MS)
        : followed(offsetMilliamps, excessMilliamps, elapsedMs);
    const over = next < LEAST_OFFSET_MILLIAMPS;
    return over ? { ...LEAKAGE_DRIFT_START, atMs } : { ...slice, atMs, offsetMilliamps: next };
  }
  const isNewDay = slice.atMs !== null && dayOf(atMs) !== dayOf(slice.atMs);
  const before = isNewDay ? judged(slice) : slice;
  const day = withReading(before.day, Math.round(filmPercent), excessMilliamps);
  return { ...before, atMs, day };
}

function dayOf(atMs: number): number {
  return Math.floor(atMs / DAY_MS);
}

function withReading(day: RestDay | null, filmPercent: number, excessMilliamps: number): RestDay {
  const excess = Math.round(100 * excessMilliamps);
  return {
    n: (day?.n ?? 0) + 1,
    film: (day?.film ?? 0) + filmPercent,
    excess: (day?.excess ?? 0) + excess,
    filmSquared: (day?.filmSquared ?? 0) + filmPercent * filmPercent,
    filmExcess: (day?.filmExcess ?? 0) + filmPercent * excess,
    driest: Math.min(day?.driest ?? filmPercent, filmPercent),
    wettest: Math.max(day?.wettest ?? filmPercent, filmPercent),
  };
}

/** Ends a day: what it adds to the days before, and whether they tell a drift. */
function judged(slice: LeakageDriftSlice): LeakageDriftSlice {
  const { atMs, day, means } = slice;
  if (day === null || day.n < LEAST_SAMPLES) return { ...slice, day: null };
  const meanMilliamps = Math.round(day.excess / day.n) / 100;
  const answer = answersFilm(day, meanMilliamps);
  if (answer === 'answers') return { ...LEAKAGE_DRIFT_START, atMs };
  const days = [...means, meanMilliamps].slice(-DAYS);
  const found =
    answer === 'flat' &&
    meanMilliamps >= LEAST_DRIFT_MILLIAMPS &&
    days.length === DAYS &&
    grow(days);
  return { atMs, day: null, means: days, offsetMilliamps: found ? meanMilliamps : null };
}

function grow(days: readonly number[]): boolean {
  return days.every((mean, index) => {
    const before = days[index - 1];
    return before === undefined || mean - before >= LEAST_GROWTH_MILLIAMPS;
  });
}

function answersFilm(day: RestDay, meanMilliamps: number): 'answers' | 'flat' | 'unseen' {
  const { n, film, excess, filmSquared, filmExcess, driest, wettest } = day;
  const spanPercent = wettest - driest;
  if (spanPercent < LEAST_SPAN_PERCENT) return 'unseen';
  const slope = (n * filmExcess - film * excess) / (n * filmSquared - film * film) / 100;
  const answer = Math.abs(slope) * spanPercent;
  if (answer > FLAT_SHARE * Math.abs(meanMilliamps) + FLAT_MILLIAMPS) return 'answers';
  return wettest >= HUMID_PERCENT ? 'flat' : 'unseen';
}

/** Follows a drift a little at a time, by what is left of the excess once it is taken off. */
function followed(offsetMilliamps: number, leftMilliamps: number, elapsedMs: number): number {
  const most = (FOLLOWED_MILLIAMPS_A_DAY * Math.min(elapsedMs, SAMPLE_MOST_MS)) / DAY_MS;
  const moved = Math.min(Math.max(leftMilliamps, -most), most);
  return Math.round(1000 * (offsetMilliamps + moved)) / 1000;
}
