import {
  type FieldGuard,
  type FieldGuards,
  hasShape,
  isListOf,
  isNullOr,
  isNumber,
} from '../field-guards.ts';
import { FILM_BANDS } from './film-humidity.ts';
import { thousandths } from './kept-digits.ts';
import { LOAD_ERROR_FIELDS, LOAD_ERROR_START, type LoadErrorSlice } from './load-error.ts';
import { smoothed } from './smoothing.ts';

/**
 * What leaks beyond health with contactors open, by the humidity of the film: where the leak is.
 * Raises nothing.
 *
 * The line side is live always, the load side only behind a contactor that is pulled in. So a leak
 * that is there at rest is on the line side, and one that is gone at rest, in a film at least as
 * wet, is in the load. Common practice, no source.
 */
export interface LeakageSideSlice {
  /** By band of humidity. */
  readonly idle: readonly (Excess | null)[];
  readonly loadError: LoadErrorSlice;
}

interface Excess {
  readonly atMs: number;
  /** Above what is healthy, mA, over about ten minutes. */
  readonly milliamps: number;
  readonly readings: number;
}

/** What rest says about a leak that is seen now. `unseen`: rest was not seen when it would show. */
export type RestWord = 'leaks' | 'does-not-leak' | 'unseen';

const LEVEL_TIME_CONSTANT_MS = 600_000;
/** Readings of rest that count as having seen it. */
const READINGS_TO_COUNT = 3;
const MOST_READINGS = 10;
/** A track may have dried or grown since; after this rest says nothing of now. */
const LEAKS_FOR_MS: number = 48 * 3_600_000;
const DOES_NOT_LEAK_FOR_MS: number = 12 * 3_600_000;
/** At rest at least this share of the leak, and more than noise, is the same leak. */
const SAME_LEAK_SHARE = 0.35;
const SAME_LEAK_MILLIAMPS = 1;
/** At rest at most this share of it is another thing. */
const OTHER_LEAK_SHARE = 0.2;

const NO_BANDS: readonly null[] = new Array<null>(FILM_BANDS).fill(null);
export const LEAKAGE_SIDE_START: LeakageSideSlice = {
  idle: NO_BANDS,
  loadError: LOAD_ERROR_START,
};

const areBands: FieldGuard = isListOf(
  isNullOr(hasShape<Excess>({ atMs: isNumber, milliamps: isNumber, readings: isNumber })),
  FILM_BANDS,
);

export const LEAKAGE_SIDE_FIELDS: FieldGuards<LeakageSideSlice> = {
  idle: areBands,
  loadError: hasShape(LOAD_ERROR_FIELDS),
};

/** Takes readings at rest. @param excessMilliamps above what is healthy; below zero counts as zero. */
export function stepLeakageSide(
  slice: LeakageSideSlice,
  atMs: number,
  excessMilliamps: number,
  band: number,
): LeakageSideSlice {
  const before = slice.idle[band] ?? null;
  const elapsedMs = before === null ? 0 : atMs - before.atMs;
  const isOld = before === null || elapsedMs > LEAKS_FOR_MS;
  const next: Excess = {
    atMs,
    milliamps: thousandths(
      smoothed(
        isOld ? null : before.milliamps,
        Math.max(excessMilliamps, 0),
        elapsedMs,
        LEVEL_TIME_CONSTANT_MS,
      ),
    ),
    readings: isOld ? 1 : Math.min(before.readings + 1, MOST_READINGS),
  };
  const idle = slice.idle.slice();
  idle[band] = next;
  return { idle, loadError: slice.loadError };
}

/**
 * Whether a leak seen now while running was there at rest as well. Rest in a drier film that leaks
 * counts; rest in a drier film that does not leak says nothing. `sinceMs`: rest before that says
 * nothing, because the leak came at once under load.
 */
export function whatRestSays(
  slice: LeakageSideSlice,
  atMs: number,
  excessMilliamps: number,
  band: number,
  sinceMs: number,
): RestWord {
  let word: RestWord = 'unseen';
  for (let index = 0; index < FILM_BANDS; index++) {
    const rest = slice.idle[index] ?? null;
    if (rest === null || rest.readings < READINGS_TO_COUNT || rest.atMs < sinceMs) continue;
    const ageMs = atMs - rest.atMs;
    const isSame =
      rest.milliamps >= SAME_LEAK_MILLIAMPS && rest.milliamps >= SAME_LEAK_SHARE * excessMilliamps;
    if (isSame && ageMs <= LEAKS_FOR_MS) return 'leaks';
    const isOther = rest.milliamps <= OTHER_LEAK_SHARE * excessMilliamps;
    if (isOther && index >= band && ageMs <= DOES_NOT_LEAK_FOR_MS) word = 'does-not-leak';
  }
  return word;
}

/** What leaked beyond health at rest of late, mA; null where rest was not seen. */
export function restExcessMilliamps({ idle }: LeakageSideSlice, nowMs: number): number | null {
  let newest: Excess | null = null;
  for (const rest of idle) if (rest !== null && rest.atMs > (newest?.atMs ?? 0)) newest = rest;
  if (newest === null || nowMs - newest.atMs > DOES_NOT_LEAK_FOR_MS) return null;
  return newest.milliamps;
}
