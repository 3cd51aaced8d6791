import {
  type FieldGuard,
  type FieldGuards,
  hasShape,
  isNullOr,
  isNumber,
  isNumberOrNull,
} from '../field-guards.ts';
import { hundredths } from './kept-digits.ts';
import type { OperatingSlice } from './operating-state.ts';
import { smoothed } from './smoothing.ts';

/**
 * Leakage beyond health that comes at once and then holds still: a filter that is switched on, a
 * surge arrester after a stroke, vermin, an offset of the sensor. Raises nothing.
 *
 * Uses: `leak`, what is healthy, the operating state, the film's humidity. A film on dirt takes
 * many minutes to wet, and leaks less as it dries: so what comes within five minutes, not with a
 * load, is a step, and it holds still while the humidity of the film moves or half a day passes
 * and the level does not. Currents add as vectors, so a step is another one under each load: it
 * is watched at rest, and under one load only until rest is seen. Common practice, no source.
 */
export interface LeakageStepSlice {
  /** The newest readings with next to nothing beyond health, at rest and under load. */
  readonly quietIdleAtMs: number | null;
  readonly quietRunningAtMs: number | null;
  /** The load at the latter, A. */
  readonly quietAmps: number;
  readonly step: LeakageStep | null;
}

interface LeakageStep {
  readonly atMs: number;
  /** The load that it came under, A. */
  readonly amps: number;
  /** Beyond health, mA: the most within minutes of the step. */
  readonly milliamps: number;
  readonly idle: StepLevel | null;
  readonly running: StepLevel | null;
  readonly driestPercent: number;
  readonly wettestPercent: number;
}

/** The level since the step under one load, mA, over ten minutes. */
interface StepLevel {
  readonly atMs: number;
  readonly amps: number;
  readonly milliamps: number;
  readonly lowest: number;
  readonly highest: number;
}

/** What is beyond health by less is the noise of a sensor. */
const QUIET_MILLIAMPS = 1.2;
const LEAST_STEP_MILLIAMPS = 2.4;
/** Five readings at most; a film does not wet so fast. */
const STEP_WITHIN_MS = 330_000;
/** What came as a load came or went must have been away under this load not long ago. */
const QUIET_WITHIN_MS = 2_400_000;
/** The part of what leaks now that must have come at once. */
export const SUDDEN_SHARE = 0.65;
const LEVEL_TIME_CONSTANT_MS = 600_000;
/** Levels of the first minutes are not settled. */
const SETTLING_MS = 300_000;
/** The load moves by so much and is still the same. */
const SAME_LOAD_SHARE = 0.15;
const SAME_LOAD_AMPS = 0.5;
const MOST_MOVE_MILLIAMPS = 1;
const MOST_MOVE_SHARE = 0.3;
const MOST_GAP_MS = 150_000;
const STILL_SHARE = 0.15;
const STILL_MILLIAMPS = 0.4;
const GONE_SHARE = 0.5;
const LEAST_STILL_MS = 3_600_000;
const LONG_STILL_MS = 43_200_000;
const FILM_MOVED_PERCENT = 8;

export const LEAKAGE_STEP_START: LeakageStepSlice = {
  quietIdleAtMs: null,
  quietRunningAtMs: null,
  quietAmps: 0,
  step: null,
};

const isLevel: FieldGuard = isNullOr(
  hasShape<StepLevel>({
    atMs: isNumber,
    amps: isNumber,
    milliamps: isNumber,
    lowest: isNumber,
    highest: isNumber,
  }),
);

export const LEAKAGE_STEP_FIELDS: FieldGuards<LeakageStepSlice> = {
  quietIdleAtMs: isNumberOrNull,
  quietRunningAtMs: isNumberOrNull,
  quietAmps: isNumber,
  step: isNullOr(
    hasShape<LeakageStep>({
      atMs: isNumber,
      amps: isNumber,
      milliamps: isNumber,
      idle: isLevel,
      running: isLevel,
      driestPercent: isNumber,
      wettestPercent: isNumber,
    }),
  ),
};

/** @param healthyMilliamps what is healthy here; null while that is not known. */
export function stepLeakageStep(
  slice: LeakageStepSlice,
  atMs: number,
  milliamps: number,
  healthyMilliamps: number | null,
  operating: OperatingSlice,
  filmPercent: number | null,
): LeakageStepSlice {
  const { state, largestAmps: amps } = operating;
  if (healthyMilliamps === null || (state !== 'idle' && state !== 'running')) return slice;
  const excessMilliamps = milliamps - healthyMilliamps;
  if (slice.step !== null) {
    return followed(
      slice,
      slice.step,
      atMs,
      excessMilliamps,
      healthyMilliamps,
      operating,
      filmPercent,
    );
  }
  if (excessMilliamps < QUIET_MILLIAMPS) {
    return state === 'idle'
      ? { ...slice, quietIdleAtMs: atMs }
      : { ...slice, quietRunningAtMs: atMs, quietAmps: hundredths(amps) };
  }
  const { quietIdleAtMs, quietRunningAtMs, quietAmps } = slice;
  if (excessMilliamps < LEAST_STEP_MILLIAMPS) return slice;
  const ownMs = state === 'idle' || isSameLoad(quietAmps, amps) ? ownQuiet(slice, state) : null;
  const lastMs = Math.max(quietIdleAtMs ?? 0, quietRunningAtMs ?? 0);
  const begins =
    ownMs !== null && atMs - ownMs <= QUIET_WITHIN_MS && atMs - lastMs <= STEP_WITHIN_MS;
  if (!begins) return slice;
  const step: LeakageStep = {
    atMs,
    amps: hundredths(amps),
    milliamps: hundredths(excessMilliamps),
    idle: null,
    running: null,
    driestPercent: hundredths(filmPercent ?? 100),
    wettestPercent: hundredths(filmPercent ?? 0),
  };
  return { ...slice, step };
}

function followed(
  slice: LeakageStepSlice,
  step: LeakageStep,
  atMs: number,
  excessMilliamps: number,
  healthyMilliamps: number,
  { state, largestAmps }: OperatingSlice,
  filmPercent: number | null,
): LeakageStepSlice {
  const sinceMs = atMs - step.atMs;
  const early = sinceMs <= STEP_WITHIN_MS && isSameLoad(step.amps, largestAmps);
  const milliamps = early ? Math.max(step.milliamps, hundredths(excessMilliamps)) : step.milliamps;
  // Under load the sensor's error may hide a step or double it: rest tells, where it is seen.
  if (state === 'running' && step.idle !== null) return slice;
  const { idle, running } = step;
  const before = state === 'idle' ? idle : running;
  const level = nextLevel(before, atMs, excessMilliamps + healthyMilliamps, largestAmps, sinceMs);
  const tells = state === 'idle' || isSameLoad(step.amps, largestAmps);
  if (tells && level !== null && level.milliamps - healthyMilliamps < GONE_SHARE * milliamps) {
    return { ...slice, quietIdleAtMs: null, quietRunningAtMs: null, step: null };
  }
  const next: LeakageStep = {
    atMs: step.atMs,
    amps: step.amps,
    milliamps,
    idle: state === 'idle' ? level : idle,
    running: state === 'running' ? level : running,
    driestPercent: hundredths(Math.min(step.driestPercent, filmPercent ?? 100)),
    wettestPercent: hundredths(Math.max(step.wettestPercent, filmPercent ?? 0)),
  };
  return { ...slice, step: next };
}

function ownQuiet(slice: LeakageStepSlice, state: 'idle' | 'running'): number | null {
  return state === 'idle' ? slice.quietIdleAtMs : slice.quietRunningAtMs;
}

function nextLevel(
  level: StepLevel | null,
  atMs: number,
  leakageMilliamps: number,
  amps: number,
  sinceMs: number,
): StepLevel | null {
  if (sinceMs < SETTLING_MS) return level;
  if (level === null) {
    const first = hundredths(leakageMilliamps);
    return { atMs, amps: hundredths(amps), milliamps: first, lowest: first, highest: first };
  }
  if (!isSameLoad(level.amps, amps)) return level;
  const elapsedMs = atMs - level.atMs;
  // One wild value is no movement.
  const most = Math.max(MOST_MOVE_MILLIAMPS, MOST_MOVE_SHARE * level.milliamps);
  const moved = Math.min(Math.max(leakageMilliamps - level.milliamps, -most), most);
  const milliamps = smoothed(
    level.milliamps,
    level.milliamps + moved,
    Math.min(elapsedMs, MOST_GAP_MS),
    LEVEL_TIME_CONSTANT_MS,
  );
  return {
    atMs,
    amps: level.amps,
    milliamps: hundredths(milliamps),
    lowest: hundredths(Math.min(level.lowest, milliamps)),
    highest: hundredths(Math.max(level.highest, milliamps)),
  };
}

/** Whether most of what leaks beyond health now came within minutes, and not with a load. */
export function cameAtOnce({ step }: LeakageStepSlice, excessMilliamps: number): boolean {
  return (
    step !== null &&
    step.milliamps >= SUDDEN_SHARE * excessMilliamps &&
    isStill(step.idle ?? step.running)
  );
}

/** When what leaks now came at once; 0 when it did not. */
export function cameAtOnceMs(slice: LeakageStepSlice, excessMilliamps: number): number {
  return slice.step !== null && cameAtOnce(slice, excessMilliamps) ? slice.step.atMs : 0;
}

/** What came at once and has not moved since, in whatever film, mA; 0 when there is no such. */
export function steadyOffsetMilliamps({ step }: LeakageStepSlice): number {
  return step !== null && isStill(step.idle ?? step.running) ? step.milliamps : 0;
}

/** True when it has held still for long or while the film became drier or wetter. */
export function heldStill(slice: LeakageStepSlice, atMs: number): boolean {
  const { step } = slice;
  if (step === null || steadyOffsetMilliamps(slice) === 0) return false;
  const lastedMs = atMs - step.atMs;
  const filmMoved = step.wettestPercent - step.driestPercent >= FILM_MOVED_PERCENT;
  return lastedMs >= LONG_STILL_MS || (lastedMs >= LEAST_STILL_MS && filmMoved);
}

function isSameLoad(one: number, other: number): boolean {
  return Math.abs(one - other) <= SAME_LOAD_SHARE * other + SAME_LOAD_AMPS;
}

function isStill(level: StepLevel | null): boolean {
  if (level === null) return true;
  const { lowest, highest } = level;
  return highest - lowest <= STILL_SHARE * highest + STILL_MILLIAMPS;
}
