import {
  type FieldGuard,
  hasShape,
  isBoolean,
  isNullOr,
  isNumber,
  isNumberOrNull,
} from '../field-guards.ts';
import type { LeakageLevelSlice } from './leakage-level.ts';
import { heldStill, type LeakageStepSlice, steadyOffsetMilliamps } from './leakage-step.ts';
import { smoothed } from './smoothing.ts';

/**
 * A leakage channel that reads more since one moment, by the same number under every load.
 *
 * Uses: a step of leakage that holds still in dry and humid film (`leakage-step.ts`), what is
 * healthy at rest and under load. Currents add as vectors: what vermin, an arrester or a filter
 * leak makes another difference to the reading at rest than beside the milliamperes that a load
 * leaks, or its sensor errs by, unless the two happen to point the same way (one time in six or
 * less). An offset behind the rectifier adds as a number, and
 * does not move with the line voltage. Where no load leaks enough of its own
 * nothing is said.
 */
export interface LeakageJump {
  readonly atMs: number;
  /** When the step came. */
  readonly stepAtMs: number;
  /** What is beyond health at rest, and under a load that leaks of its own, mA. */
  readonly restMilliamps: number | null;
  readonly loadMilliamps: number | null;
  /** What such a load leaks in health, mA. */
  readonly healthyMilliamps: number;
  readonly restSamples: number;
  readonly loadSamples: number;
  readonly fault: boolean;
}

const DAY_MS = 86_400_000;
/**
 * In a day the line voltage moves by two per cent and more, and with it what leaks (common
 * practice, no source). Of less than the least that is lost in the sensor's noise.
 */
const STILLER_SHARE = 0.02;
const LEAST_MILLIAMPS = 8;
const SAMPLE_EVERY_MS = 300_000;
const TIME_CONSTANT_MS = 1_800_000;
/** An hour of each. */
const LEAST_SAMPLES = 12;
const LEAST_HEALTHY_MILLIAMPS = 2;
/** What levels err by that are learned over weeks. */
const SAME_MILLIAMPS = 0.2;
const SAME_SHARE = 0.01;
/** Of the smaller of the two vectors: so much is missing from the sum at an angle of 28 degrees. */
const TELLS_SHARE = 0.12;

export const isLeakageJump: FieldGuard = isNullOr(
  hasShape<LeakageJump>({
    atMs: isNumber,
    stepAtMs: isNumber,
    restMilliamps: isNumberOrNull,
    loadMilliamps: isNumberOrNull,
    healthyMilliamps: isNumber,
    restSamples: isNumber,
    loadSamples: isNumber,
    fault: isBoolean,
  }),
);

/** Takes in the newest judged leakage. @returns null while no step stands */
export function stepLeakageJump(
  jump: LeakageJump | null,
  level: LeakageLevelSlice,
): LeakageJump | null {
  const { atMs, milliamps, excessMilliamps, step: steps } = level;
  const { step } = steps;
  if (step === null || atMs === null) return null;
  if (milliamps === null || excessMilliamps === null) return jump;
  const before = jump !== null && jump.stepAtMs === step.atMs ? jump : begun(step.atMs);
  const elapsedMs = atMs - before.atMs;
  if (elapsedMs < SAMPLE_EVERY_MS) return before;
  const beyond = excessMilliamps + steadyOffsetMilliamps(steps);
  if (level.idleAtMs === atMs) {
    const restMilliamps = smoothed(before.restMilliamps, beyond, elapsedMs, TIME_CONSTANT_MS);
    const restSamples = Math.min(before.restSamples + 1, LEAST_SAMPLES);
    return judged({ ...before, atMs, restMilliamps, restSamples }, isNoCurrent(steps, atMs));
  }
  const healthyMilliamps = milliamps - beyond;
  if (healthyMilliamps < LEAST_HEALTHY_MILLIAMPS) return before;
  const next = {
    ...before,
    atMs,
    loadMilliamps: smoothed(before.loadMilliamps, beyond, elapsedMs, TIME_CONSTANT_MS),
    healthyMilliamps: Math.round(100 * healthyMilliamps) / 100,
    loadSamples: Math.min(before.loadSamples + 1, LEAST_SAMPLES),
  };
  return judged(next, isNoCurrent(steps, atMs));
}

function begun(stepAtMs: number): LeakageJump {
  return {
    atMs: stepAtMs,
    stepAtMs,
    restMilliamps: null,
    loadMilliamps: null,
    healthyMilliamps: 0,
    restSamples: 0,
    loadSamples: 0,
    fault: false,
  };
}

/** Held still in all films, and stiller for a day than the line voltage that drives a current. */
function isNoCurrent(steps: LeakageStepSlice, atMs: number): boolean {
  const { step } = steps;
  const idle = step?.idle ?? null;
  if (step === null || idle === null || atMs - step.atMs < DAY_MS) return false;
  if (idle.highest < LEAST_MILLIAMPS) return false;
  const stiller = idle.highest - idle.lowest <= STILLER_SHARE * idle.highest;
  return stiller && heldStill(steps, atMs);
}

function judged(jump: LeakageJump, still: boolean): LeakageJump {
  const { restMilliamps: rest, loadMilliamps: load, healthyMilliamps, fault } = jump;
  const seen = jump.restSamples >= LEAST_SAMPLES && jump.loadSamples >= LEAST_SAMPLES;
  if (fault || !still || !seen || rest === null || load === null) return jump;
  const same = SAME_MILLIAMPS + SAME_SHARE * rest;
  const tells = TELLS_SHARE * Math.min(rest, healthyMilliamps) >= same;
  return tells && Math.abs(load - rest) <= same ? { ...jump, fault: true } : jump;
}
