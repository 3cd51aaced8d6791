import { type FieldGuards, isListOf, isNumber, isNumberOrNull } from '../field-guards.ts';
import { thousandths } from './kept-digits.ts';
import type { LeakageLimits } from './leakage-limits.ts';

/**
 * Whether leakage climbs so that it would reach the emergency limit within the hour.
 *
 * Uses: `leak`. The lowest reading of each ten minutes, over forty minutes: neither a wild value,
 * nor a single step, nor a load that comes and goes makes the lowest rise three times in a row.
 */
export interface LeakageRiseSlice {
  readonly blockStartMs: number | null;
  readonly lowestMilliamps: number;
  readonly readings: number;
  /** Lowest readings of the blocks before, oldest first. */
  readonly earlier: readonly number[];
}

const BLOCK_MS = 600_000;
const RISES = 3;
const READINGS_A_BLOCK = 2;
/** Each block at least this much above the one before: more than a sensor's noise, mA. */
const LEAST_RISE_MILLIAMPS = 1;
/** From the time of the rises to the hour ahead. */
const HOUR_PER_RISES: number = 3_600_000 / (RISES * BLOCK_MS);

export const LEAKAGE_RISE_START: LeakageRiseSlice = {
  blockStartMs: null,
  lowestMilliamps: 0,
  readings: 0,
  earlier: [],
};

export const LEAKAGE_RISE_FIELDS: FieldGuards<LeakageRiseSlice> = {
  blockStartMs: isNumberOrNull,
  lowestMilliamps: isNumber,
  readings: isNumber,
  earlier: isListOf(isNumber, RISES),
};

export function stepLeakageRise(
  slice: LeakageRiseSlice,
  atMs: number,
  milliamps: number,
): LeakageRiseSlice {
  const blockStartMs = Math.floor(atMs / BLOCK_MS) * BLOCK_MS;
  const { earlier } = slice;
  if (slice.blockStartMs === blockStartMs) {
    return {
      blockStartMs,
      lowestMilliamps: Math.min(slice.lowestMilliamps, thousandths(milliamps)),
      readings: Math.min(slice.readings + 1, READINGS_A_BLOCK),
      earlier,
    };
  }
  const follows = slice.blockStartMs !== null && blockStartMs - slice.blockStartMs === BLOCK_MS;
  return {
    blockStartMs,
    lowestMilliamps: thousandths(milliamps),
    readings: 1,
    earlier: follows ? [...earlier, slice.lowestMilliamps].slice(-RISES) : [],
  };
}

/** True when it has climbed three times in a row, is over urgent and heads for emergency. */
export function climbsSteeply(slice: LeakageRiseSlice, limits: LeakageLimits): boolean {
  const { earlier, lowestMilliamps, readings } = slice;
  if (lowestMilliamps < limits.urgentMilliamps || readings < READINGS_A_BLOCK) return false;
  const first = earlier[0];
  if (first === undefined || earlier.length < RISES) return false;
  let before = first;
  for (let block = 1; block <= RISES; block += 1) {
    const low = earlier[block] ?? lowestMilliamps;
    if (low - before < LEAST_RISE_MILLIAMPS) return false;
    before = low;
  }
  const inAnHour = lowestMilliamps + HOUR_PER_RISES * (lowestMilliamps - first);
  return inAnHour >= limits.emergencyMilliamps;
}
