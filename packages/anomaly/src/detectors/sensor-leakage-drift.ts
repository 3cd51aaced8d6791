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
 * film: what it leaks dry is small against what it leaks humid, also once its dry floor creeps, and
 * insulation of a load leaks nothing at rest. A zero that creeps starts from health, is there at
 * rest from day to day, grows slowly, and does not know the weather. So each day of rest that saw
 * dry and humid film gives a mean and the slope against the film, and three such days in a row that
 * grow and lie flat tell a drift. What comes at once is told elsewhere and is not part of it
 * (`leakage-step.ts`). Until the weather has shown a humid film nothing is said.
 *
 * Nor where the supply floats: a fault elsewhere raises there what every unit leaks in health.
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

/**
 * Sums over the readings of a day at rest, and sums of their products: film in %RH, excess in
 * hundredths of a milliampere, hours of the day. Whole numbers: a sum of them does not err.
 */
interface RestDay {
  readonly n: number;
  readonly film: number;
  readonly excess: number;
  readonly hours: number;
  readonly filmFilm: number;
  readonly filmExcess: number;
  readonly filmHours: number;
  readonly hoursExcess: number;
  readonly hoursHours: number;
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
/** From trough to crest of a wave, in its standard deviations. */
const SPAN_DEVIATIONS = 2.83;
/** A film that went one way all day tells nothing beside an excess that did. */
const LEAST_APART_SHARE = 0.3;
const HUMID_PERCENT = 72;
/** A track leaks several times as much humid as dry: more than this over the day's span. */
const FLAT_SHARE = 0.6;
const FLAT_MILLIAMPS = 0.3;
const DAYS = 3;
/** Less a day is season and dirt. */
const LEAST_GROWTH_MILLIAMPS = 0.1;
const LEAST_DRIFT_MILLIAMPS = 1.2;
/**
 * A drift is followed from near health on. A track that has run away may be as flat and as slow,
 * but its beginning was not.
 */
const NEAR_HEALTH_MILLIAMPS = 1;
const MOST_GROWTH_MILLIAMPS = 3;
/**
 * Of what a day brought, so much must show within it: a floor that a wetting left higher does not.
 */
const STEADY_SHARE = 0.3;
const MOST_GAP_DAYS = 3;
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
    hours: isNumber,
    filmFilm: isNumber,
    filmExcess: isNumber,
    filmHours: isNumber,
    hoursExcess: isNumber,
    hoursHours: isNumber,
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
  const before = isNewDay ? judged(slice, dayOf(atMs)) : slice;
  const day = withReading(before.day, atMs, filmPercent, excessMilliamps);
  return { ...before, atMs, day };
}

function dayOf(atMs: number): number {
  return Math.floor(atMs / DAY_MS);
}

function withReading(
  day: RestDay | null,
  atMs: number,
  filmPercent: number,
  excessMilliamps: number,
): RestDay {
  const film = Math.round(filmPercent);
  const excess = Math.round(100 * excessMilliamps);
  const hours = Math.floor((atMs % DAY_MS) / HOUR_MS);
  return {
    n: (day?.n ?? 0) + 1,
    film: (day?.film ?? 0) + film,
    excess: (day?.excess ?? 0) + excess,
    hours: (day?.hours ?? 0) + hours,
    filmFilm: (day?.filmFilm ?? 0) + film * film,
    filmExcess: (day?.filmExcess ?? 0) + film * excess,
    filmHours: (day?.filmHours ?? 0) + film * hours,
    hoursExcess: (day?.hoursExcess ?? 0) + hours * excess,
    hoursHours: (day?.hoursHours ?? 0) + hours * hours,
  };
}

/** Ends a day: what it adds to the days before, and whether they tell a drift. */
function judged(slice: LeakageDriftSlice, nextDay: number): LeakageDriftSlice {
  const { atMs, day, means } = slice;
  if (nextDay - dayOf(atMs ?? 0) > MOST_GAP_DAYS) return { ...LEAKAGE_DRIFT_START, atMs };
  if (day === null || day.n < LEAST_SAMPLES) return { ...slice, day: null };
  const meanMilliamps = Math.round(day.excess / day.n) / 100;
  const { answer, grownMilliamps } = answerOf(day, meanMilliamps);
  const before = means.at(-1) ?? 0;
  const most = means.length === 0 ? NEAR_HEALTH_MILLIAMPS : before + MOST_GROWTH_MILLIAMPS;
  if (answer === 'answers' || meanMilliamps > most) return { ...LEAKAGE_DRIFT_START, atMs };
  const days = [...means, meanMilliamps].slice(-DAYS);
  const steadily = grownMilliamps >= STEADY_SHARE * (meanMilliamps - before);
  const found =
    answer === 'flat' &&
    steadily &&
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

interface DayAnswer {
  readonly answer: 'answers' | 'flat' | 'unseen';
  /** What it would grow by in a day as it grew within this one. */
  readonly grownMilliamps: number;
}

const UNSEEN: DayAnswer = { answer: 'unseen', grownMilliamps: 0 };

/** What the excess does with the film, and with the hours of the day: a plane through both. */
function answerOf(day: RestDay, meanMilliamps: number): DayAnswer {
  const { n, film, excess, hours } = day;
  const filmFilm = day.filmFilm - (film * film) / n;
  const hoursHours = day.hoursHours - (hours * hours) / n;
  const filmHours = day.filmHours - (film * hours) / n;
  const filmExcess = day.filmExcess - (film * excess) / n;
  const hoursExcess = day.hoursExcess - (hours * excess) / n;
  const spanPercent = SPAN_DEVIATIONS * Math.sqrt(filmFilm / n);
  const apart = filmFilm * hoursHours - filmHours * filmHours;
  if (spanPercent < LEAST_SPAN_PERCENT || apart < LEAST_APART_SHARE * filmFilm * hoursHours) {
    return UNSEEN;
  }
  const byFilm = (filmExcess * hoursHours - hoursExcess * filmHours) / apart / 100;
  const grownMilliamps = (24 * (hoursExcess * filmFilm - filmExcess * filmHours)) / apart / 100;
  const answers =
    Math.abs(byFilm) * spanPercent > FLAT_SHARE * Math.abs(meanMilliamps) + FLAT_MILLIAMPS;
  const humid = film / n + spanPercent / 2 >= HUMID_PERCENT;
  return { answer: answers ? 'answers' : humid ? 'flat' : 'unseen', grownMilliamps };
}

/** Follows a drift a little at a time, by what is left of the excess once it is taken off. */
function followed(offsetMilliamps: number, leftMilliamps: number, elapsedMs: number): number {
  const most = (FOLLOWED_MILLIAMPS_A_DAY * Math.min(elapsedMs, SAMPLE_MOST_MS)) / DAY_MS;
  const moved = Math.min(Math.max(leftMilliamps, -most), most);
  return Math.round(1000 * (offsetMilliamps + moved)) / 1000;
}
