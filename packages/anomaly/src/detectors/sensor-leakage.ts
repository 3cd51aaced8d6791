import { type FieldGuards, isNumber, isNumberOrNull, isOneOf } from '../field-guards.ts';
import { type DwellMs, hasDwelt, nextDwell } from './dwell.ts';
import type { OperatingSlice } from './operating-state.ts';
import type { Sample } from './sample.ts';
import { smoothed } from './smoothing.ts';

/**
 * Whether the leakage channel can be believed.
 *
 * Uses: `leak ia ib ic rh`, the operating state. Faults that it tells:
 * - impossible: more leaks than any phase carries. What flows to ground flows through a phase of
 *   this unit, and at no more than 120 degrees to the load's own current it cannot hide in it; so
 *   too when amperes begin to leak from one reading to the next and no phase carries any more.
 * - flat: the same to the last digit for half a day while the load came and went, of a channel
 *   that used to move at most readings.
 * - pegged: it jumped to one value and repeats that to the last digit, ten minutes on end, where
 *   it used to move. What really leaks moves by per cents with the line voltage. It is not believed
 *   from the second such reading on.
 * - zero: exactly nothing for a day of running and rest where the running unit used to leak well
 *   above the sensor's floor.
 * Not told: an offset of a few milliamps that comes at once and stays. Vermin, a surge arrester
 * after lightning and a filter that was fitted look the same.
 */
export interface LeakageSensorSlice {
  readonly atMs: number | null;
  readonly milliamps: number;
  /** Largest phase current at that reading, A; null without currents. */
  readonly largestAmps: number | null;
  /** What it read before amperes appeared from nowhere, mA; null while that is not so. */
  readonly beforeJumpMilliamps: number | null;
  readonly impossibleMs: DwellMs;
  readonly flatSinceMs: number | null;
  /** The reading before those that repeat themselves, mA. */
  readonly beforeFlatMilliamps: number;
  /** Starts of the usual load since then. */
  readonly starts: number;
  readonly load: 'idle' | 'running' | null;
  /** Share of readings that differed from the one before, over about a day before it went flat. */
  readonly movingShare: number;
  readonly usualRunningMilliamps: number | null;
  readonly usualRunningAmps: number | null;
  readonly calmMs: DwellMs;
  readonly fault: LeakageSensorFault | null;
}

const LEAKAGE_SENSOR_FAULTS = [
  'leakage-impossible',
  'leakage-pegged',
  'leakage-flat',
  'leakage-zero',
] as const;
export type LeakageSensorFault = (typeof LEAKAGE_SENSOR_FAULTS)[number];

const MINUTE_MS = 60_000;
const HOUR_MS: number = 60 * MINUTE_MS;
const IMPOSSIBLE_MS: number = 10 * MINUTE_MS;
/** 1.16 by the angle; the rest is what both sensors err. */
const LARGEST_RATIO = 1.5;
const LEAST_IMPOSSIBLE_MILLIAMPS = 300;
const JUMP_LEAST_MILLIAMPS = 1000;
/** At right angles an ampere to ground still adds a fifth and more to the phase it leaves by. */
const JUMP_ANSWER_SHARE = 0.1;
const CARRIES_ON_SHARE = 0.9;
const JUMP_WITHIN_MS: number = 5 * MINUTE_MS;
const PEGGED_MS: number = 10 * MINUTE_MS;
/**
 * A jump by so much, and to so many times what it was, that a leak of that size would move. Full
 * scales of sensors begin there; below it a step over the limits is a leak until half a day is
 * past.
 */
const PEGGED_LEAST_MILLIAMPS = 50;
const PEGGED_RATIO = 2;
const FLAT_MS: number = 12 * HOUR_MS;
const ZERO_MS: number = 24 * HOUR_MS;
/** A load that cycles makes this many starts in an hour or two. */
const STARTS = 3;
/** Fans alone need not leak what the whole unit leaks. */
const FULL_LOAD_SHARE = 0.8;
/** A sensor of coarse resolution stands still in dry weather; one that moved this often, not. */
const MOVING_SHARE = 0.5;
const MOVING_TIME_CONSTANT_MS: number = 24 * HOUR_MS;
/** Identical readings in a row this long are no longer taken as the channel's habit. */
const HABIT_MS: number = 30 * MINUTE_MS;
/** Well above the floor of common sensors, 0.1 to 0.2 mA. */
const USED_TO_LEAK_MILLIAMPS = 0.6;
const USUAL_TIME_CONSTANT_MS: number = 72 * HOUR_MS;
const CLOSING_MS: number = 6 * HOUR_MS;

export const LEAKAGE_SENSOR_START: LeakageSensorSlice = {
  atMs: null,
  milliamps: 0,
  largestAmps: null,
  beforeJumpMilliamps: null,
  impossibleMs: null,
  flatSinceMs: null,
  beforeFlatMilliamps: 0,
  starts: 0,
  load: null,
  movingShare: 0,
  usualRunningMilliamps: null,
  usualRunningAmps: null,
  calmMs: null,
  fault: null,
};

export const LEAKAGE_SENSOR_FIELDS: FieldGuards<LeakageSensorSlice> = {
  atMs: isNumberOrNull,
  milliamps: isNumber,
  largestAmps: isNumberOrNull,
  beforeJumpMilliamps: isNumberOrNull,
  impossibleMs: isNumberOrNull,
  flatSinceMs: isNumberOrNull,
  beforeFlatMilliamps: isNumber,
  starts: isNumber,
  load: isOneOf([null, 'idle', 'running']),
  movingShare: isNumber,
  usualRunningMilliamps: isNumberOrNull,
  usualRunningAmps: isNumberOrNull,
  calmMs: isNumberOrNull,
  fault: isOneOf([null, ...LEAKAGE_SENSOR_FAULTS]),
};

/** Instants without leakage leave the slice as it is. */
export function stepLeakageSensor(
  slice: LeakageSensorSlice,
  sample: Sample,
  operating: OperatingSlice,
): LeakageSensorSlice {
  const { atMs, leakageMilliamps: milliamps, currents } = sample;
  if (milliamps === null) return slice;
  const elapsedMs = slice.atMs === null ? 0 : atMs - slice.atMs;
  const largestAmps = currents === null ? null : currents.largest;
  const beforeJumpMilliamps = nextBeforeJump(slice, milliamps, largestAmps, elapsedMs);
  const impossible = beforeJumpMilliamps !== null || isTooMuch(milliamps, largestAmps);
  const impossibleMs =
    impossible || slice.impossibleMs !== null
      ? nextDwell(slice.impossibleMs, impossible, elapsedMs, IMPOSSIBLE_MS)
      : null;
  const same = slice.flatSinceMs !== null && milliamps === slice.milliamps;
  const flatSinceMs = same ? slice.flatSinceMs : atMs;
  const { state } = operating;
  const usualAmps = slice.usualRunningAmps;
  const atFullLoad =
    state === 'running' &&
    largestAmps !== null &&
    largestAmps >= FULL_LOAD_SHARE * (usualAmps ?? 0);
  const load = state === 'idle' ? 'idle' : atFullLoad ? 'running' : slice.load;
  const started = slice.load === 'idle' && load === 'running' ? 1 : 0;
  const starts = same ? Math.min(slice.starts + started, STARTS) : 0;
  const habit = atMs - (flatSinceMs ?? atMs) < HABIT_MS;
  const learns = habit && !impossible && slice.fault === null;
  const { movingShare, usualRunningMilliamps: usual, fault } = slice;
  const seen = symptom(
    impossibleMs,
    milliamps,
    flatSinceMs === null || starts < STARTS ? 0 : atMs - flatSinceMs,
    same && hasJumpedToRest(slice) && flatSinceMs !== null && atMs - flatSinceMs >= PEGGED_MS,
    slice,
  );
  const well = fault !== null && seen === null && !impossible && habit;
  const calmMs = well ? nextDwell(slice.calmMs, true, elapsedMs, CLOSING_MS) : null;
  return {
    atMs,
    milliamps,
    largestAmps,
    beforeJumpMilliamps,
    impossibleMs,
    flatSinceMs,
    beforeFlatMilliamps: same
      ? slice.beforeFlatMilliamps
      : jumpedFrom(slice, milliamps, largestAmps),
    starts,
    load,
    movingShare: learns
      ? smoothed(movingShare, same ? 0 : 1, elapsedMs, MOVING_TIME_CONSTANT_MS)
      : movingShare,
    usualRunningMilliamps:
      learns && state === 'running'
        ? smoothed(usual, milliamps, elapsedMs, USUAL_TIME_CONSTANT_MS)
        : usual,
    usualRunningAmps:
      learns && state === 'running' && largestAmps !== null
        ? smoothed(usualAmps, largestAmps, elapsedMs, USUAL_TIME_CONSTANT_MS)
        : usualAmps,
    calmMs,
    fault: hasDwelt(calmMs, CLOSING_MS) ? null : (fault ?? seen),
  };
}

/** Whether more leaks than the phases bring, now. */
export function isImpossible(slice: LeakageSensorSlice): boolean {
  return slice.beforeJumpMilliamps !== null || isTooMuch(slice.milliamps, slice.largestAmps);
}

/** More than the phases could bring at any angle. */
function isTooMuch(milliamps: number, largestAmps: number | null): boolean {
  if (largestAmps === null) return false;
  return milliamps > LARGEST_RATIO * 1000 * largestAmps + LEAST_IMPOSSIBLE_MILLIAMPS;
}

/** Amperes that no phase brings: remembered until half of them are gone. */
function nextBeforeJump(
  slice: LeakageSensorSlice,
  milliamps: number,
  largestAmps: number | null,
  elapsedMs: number,
): number | null {
  const { beforeJumpMilliamps: before } = slice;
  if (before !== null) return milliamps - before >= JUMP_LEAST_MILLIAMPS / 2 ? before : null;
  const risen = milliamps - slice.milliamps;
  if (risen < JUMP_LEAST_MILLIAMPS || elapsedMs <= 0 || elapsedMs > JUMP_WITHIN_MS) return null;
  if (largestAmps === null || slice.largestAmps === null) return null;
  // A load that goes off at that moment hides what the phase carries to ground.
  if (largestAmps < CARRIES_ON_SHARE * slice.largestAmps) return null;
  return isAnswered(risen, largestAmps - slice.largestAmps) ? null : slice.milliamps;
}

/** Where a jump came from, mA; amperes that a phase carries, or may carry, are none. */
function jumpedFrom(
  slice: LeakageSensorSlice,
  milliamps: number,
  largestAmps: number | null,
): number {
  const risen = milliamps - slice.milliamps;
  const from = Math.round(slice.milliamps);
  if (risen < JUMP_LEAST_MILLIAMPS || largestAmps === null || slice.largestAmps === null) {
    return from;
  }
  const hidden = largestAmps < CARRIES_ON_SHARE * slice.largestAmps;
  const carried = hidden || isAnswered(risen, largestAmps - slice.largestAmps);
  return carried ? milliamps : from;
}

function isAnswered(risenMilliamps: number, risenAmps: number): boolean {
  return risenAmps * 1000 >= JUMP_ANSWER_SHARE * risenMilliamps;
}

/** Whether it repeats a value far above what it read before, and used to move. */
export function isPegged(slice: LeakageSensorSlice): boolean {
  const { atMs, flatSinceMs } = slice;
  return atMs !== null && flatSinceMs !== null && atMs > flatSinceMs && hasJumpedToRest(slice);
}

function hasJumpedToRest(slice: LeakageSensorSlice): boolean {
  const { milliamps, beforeFlatMilliamps: before, movingShare } = slice;
  return (
    movingShare >= MOVING_SHARE &&
    milliamps - before >= PEGGED_LEAST_MILLIAMPS &&
    milliamps >= PEGGED_RATIO * before
  );
}

/** `flatMs`: for how long it has not moved while the load came and went. */
function symptom(
  impossibleMs: DwellMs,
  milliamps: number,
  flatMs: number,
  pegged: boolean,
  { movingShare, usualRunningMilliamps }: LeakageSensorSlice,
): LeakageSensorFault | null {
  if (hasDwelt(impossibleMs, IMPOSSIBLE_MS)) return 'leakage-impossible';
  if (pegged) return 'leakage-pegged';
  if (milliamps > 0)
    return flatMs >= FLAT_MS && movingShare >= MOVING_SHARE ? 'leakage-flat' : null;
  const usedToLeak = (usualRunningMilliamps ?? 0) >= USED_TO_LEAK_MILLIAMPS;
  return flatMs >= ZERO_MS && usedToLeak ? 'leakage-zero' : null;
}
