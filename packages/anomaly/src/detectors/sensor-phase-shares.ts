import { type FieldGuards, isNumber } from '../field-guards.ts';
import type { OperatingSlice } from './operating-state.ts';
import type { DetectorParameters } from './parameters.ts';
import type { ThreePhases } from './sample.ts';

export type PhaseName = 'a' | 'b' | 'c';
export const PHASE_NAMES: readonly PhaseName[] = ['a', 'b', 'c'];

/**
 * The least that each phase carries in one stage while all is well: at rest in amps, while running
 * as a share of the mean of the other two.
 */
export interface StageShares {
  /** Readings that it was learned from. */
  readonly seen: number;
  readonly a: number;
  readonly b: number;
  readonly c: number;
}

export const STAGE_SHARES_FIELDS: FieldGuards<StageShares> = {
  seen: isNumber,
  a: isNumber,
  b: isNumber,
  c: isNumber,
};

export const NO_SHARES: StageShares = { seen: 0, a: 0, b: 0, c: 0 };

/** An hour of one-minute readings. */
const LEARNED_READINGS = 60;
/** A least value is forgotten over a few days of running at one-minute readings, ... */
const FORGET_SHARE = 0.03;
/** ... by taking this many readings for one. */
export const READINGS_A_LESSON = 60;
/** Digits that matter; more only fill the state. */
const PER_UNIT = 1e4;
/** A phase that hardly carries anything in a stage cannot show there that its sensor reads low. */
const LEAST_RUNNING_SHARE = 0.3;
const LEAST_IDLE_AMPS = 0.12;
/** Below this share of the least that is usual a phase is low, above the other it is well. */
const LOW = 0.87;
const WELL = 0.93;
const MOST_OCTAVE = 4;

/**
 * 0 at rest, 1 to 5 while running, by the middle one of the three: a sensor that reads low or
 * nothing does not move it. -1 when what the unit does is not known.
 */
export function shareStage(
  currents: ThreePhases,
  operating: OperatingSlice,
  parameters: DetectorParameters,
): number {
  if (operating.state === 'idle') return 0;
  if (operating.state !== 'running') return -1;
  const middle = currents.a + currents.b + currents.c - currents.largest - currents.smallest;
  if (middle <= 0) return -1;
  const octave = Math.floor(Math.log2(middle / parameters.runningAmps));
  return Math.min(Math.max(octave, 0), MOST_OCTAVE) + 1;
}

export function sharesOf({ a, b, c }: ThreePhases, stage: number): Omit<StageShares, 'seen'> {
  if (stage === 0) return { a, b, c };
  return { a: share(a, b + c), b: share(b, c + a), c: share(c, a + b) };
}

function share(one: number, others: number): number {
  return others <= 0 ? 0 : (2 * one) / others;
}

/**
 * Takes what is new at once, and forgets old least values when it `forgets`. The very same stage
 * comes back when there is nothing to learn.
 */
export function learnedShares(
  stage: StageShares,
  now: Omit<StageShares, 'seen'>,
  forgets: boolean,
): StageShares {
  const { seen, a, b, c } = stage;
  if (seen === LEARNED_READINGS && !forgets && now.a >= a && now.b >= b && now.c >= c) {
    return stage;
  }
  return {
    seen: Math.min(seen + 1, LEARNED_READINGS),
    a: seen === 0 ? rounded(now.a) : least(a, now.a, forgets),
    b: seen === 0 ? rounded(now.b) : least(b, now.b, forgets),
    c: seen === 0 ? rounded(now.c) : least(c, now.c, forgets),
  };
}

function least(before: number, value: number, forgets: boolean): number {
  if (value < before) return rounded(value);
  return forgets ? rounded(before + FORGET_SHARE * (value - before)) : before;
}

/** Down, so that what was seen is never below. */
function rounded(value: number): number {
  return Math.floor(value * PER_UNIT) / PER_UNIT;
}

/**
 * A phase over the least it usually carries in this stage; null where that says nothing. What
 * flows at rest flows on two phases: one that is gone while the other carries on has lost its
 * sensor, and when both are gone so is the load or the supply.
 */
export function ratioToUsual(
  phase: PhaseName,
  stage: StageShares,
  now: Omit<StageShares, 'seen'>,
  isIdle: boolean,
): number | null {
  const least = isIdle ? LEAST_IDLE_AMPS : LEAST_RUNNING_SHARE;
  if (stage.seen < LEARNED_READINGS || stage[phase] < least) return null;
  if (isIdle && !anotherIsWell(phase, stage, now)) return null;
  return now[phase] / stage[phase];
}

function anotherIsWell(
  phase: PhaseName,
  stage: StageShares,
  now: Omit<StageShares, 'seen'>,
): boolean {
  let any = false;
  for (const other of PHASE_NAMES) {
    if (other === phase || stage[other] < LEAST_IDLE_AMPS) continue;
    if (!isWell(now[other] / stage[other])) return false;
    any = true;
  }
  return any;
}

export function isLow(ratio: number): boolean {
  return ratio < LOW;
}

export function isWell(ratio: number): boolean {
  return ratio >= WELL;
}
