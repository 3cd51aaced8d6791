import {
  type FieldGuards,
  hasShape,
  isBoolean,
  isNullOr,
  isNumber,
  isNumberOrNull,
} from '../field-guards.ts';
import { WEATHER_STALE_MS } from '../weather-track.ts';
import type { OutdoorSlice } from './outdoor.ts';
import type { CompartmentAir } from './sample.ts';
import type { HumiditySensorSlice } from './sensor-humidity.ts';
import { smoothed } from './smoothing.ts';

/**
 * A humidity channel that steps from one reading to the next and stays off by as much.
 *
 * Uses: `rh t tp door`, the outdoor report. Air behind a closed door does not change so within
 * minutes while temperature and plate stand still. A door that is opened, washing and rain that
 * gets in may; they are gone within hours. So a step is a fault when the vapour from before it,
 * brought to the temperature of now, is still off by about its size eight hours later, and what
 * the cabinet's air differs from the air outside has moved too. Where the weather hides that, a
 * step of a day and a half against the air outside tells, without water about. Without an outdoor
 * station nothing is said: the weather itself may have changed within those hours.
 * A step down from near saturation is a sensor that stuck there after dew and came free.
 */
export interface HumidityShiftSlice {
  /** What the cabinet reads over the air outside, brought to its temperature, points. */
  readonly usualPercent: number | null;
  readonly learnedMs: number;
  readonly step: HumidityStep | null;
}

interface HumidityStep {
  readonly percent: number;
  /** The vapour before it, Pa, and the mean over what that would read now. */
  readonly beforePascals: number;
  readonly stayedPercent: number | null;
  /** The mean since the step, over `usualPercent`; null without an outdoor station. */
  readonly shiftPercent: number | null;
  readonly countedMs: number;
  readonly fault: boolean;
}

const HOUR_MS = 3_600_000;
const USUAL_TIME_CONSTANT_MS: number = 24 * HOUR_MS;
const LEARNED_MS: number = 24 * HOUR_MS;
const STEP_PERCENT = 7;
const STEP_WITHIN_MS = 300_000;
/** The channels of the same air stand still meanwhile. */
const STILL_KELVIN = 0.7;
const SHIFT_TIME_CONSTANT_MS: number = 6 * HOUR_MS;
const STAYED_TIME_CONSTANT_MS: number = 2 * HOUR_MS;
const STAYED_MS: number = 8 * HOUR_MS;
const JUDGED_AFTER_MS: number = 12 * HOUR_MS;
const STANDS_MS: number = 36 * HOUR_MS;
const RETURNED_SHARE = 0.35;
const STANDS_SHARE = 0.6;
const STANDS_MOST_SHARE = 1.7;
/** Near its ends a humidity cannot show a shift. */
const LEAST_PERCENT = 3;
const MOST_PERCENT = 97;
/** It may have stuck above that. */
const STUCK_PERCENT = 96;

export const HUMIDITY_SHIFT_START: HumidityShiftSlice = {
  usualPercent: null,
  learnedMs: 0,
  step: null,
};

export const HUMIDITY_SHIFT_FIELDS: FieldGuards<HumidityShiftSlice> = {
  usualPercent: isNumberOrNull,
  learnedMs: isNumber,
  step: isNullOr(
    hasShape<HumidityStep>({
      percent: isNumber,
      beforePascals: isNumber,
      stayedPercent: isNumberOrNull,
      shiftPercent: isNumberOrNull,
      countedMs: isNumber,
      fault: isBoolean,
    }),
  ),
};

/**
 * To be called for instants that bring the compartment's air, with the air of the reading before.
 */
export function stepHumidityShift(
  slice: HumidityShiftSlice,
  before: HumiditySensorSlice,
  atMs: number,
  air: CompartmentAir,
  doorOpen: boolean,
  outdoor: OutdoorSlice,
  waterIsAbout: boolean,
): HumidityShiftSlice {
  const { usualPercent, learnedMs, step } = slice;
  const elapsedMs = before.atMs === null ? 0 : Math.min(atMs - before.atMs, HOUR_MS);
  const over = overOutside(atMs, air, outdoor);
  if (step !== null) {
    const tells =
      air.humidityPercent >= LEAST_PERCENT &&
      air.humidityPercent <= MOST_PERCENT &&
      !(waterIsAbout && step.percent > 0);
    if (!tells) return slice;
    const back = stepOf(before, atMs, air, false);
    if (back !== null && back * step.percent < 0 && isAboutAll(-back / step.percent)) {
      return { usualPercent, learnedMs, step: null };
    }
    const shift = over === null || usualPercent === null ? null : over - usualPercent;
    return { usualPercent, learnedMs, step: followed(step, air, shift, elapsedMs) };
  }
  const percent =
    learnedMs < LEARNED_MS || doorOpen ? null : stepOf(before, atMs, air, waterIsAbout);
  if (percent !== null) {
    const beforePascals = Math.round(air.vapourPascals * (1 - percent / air.humidityPercent));
    const begun: HumidityStep = {
      percent: Math.round(10 * percent) / 10,
      beforePascals,
      stayedPercent: null,
      shiftPercent: null,
      countedMs: 0,
      fault: false,
    };
    return { usualPercent, learnedMs, step: begun };
  }
  return {
    usualPercent:
      over === null
        ? usualPercent
        : smoothed(usualPercent, over, elapsedMs, USUAL_TIME_CONSTANT_MS),
    learnedMs: Math.min(learnedMs + elapsedMs, LEARNED_MS),
    step: null,
  };
}

/** What the cabinet reads over the air outside, brought to its temperature, points. */
function overOutside(
  atMs: number,
  { humidityPercent, saturationPascals }: CompartmentAir,
  { reportAtMs, vapourPascals }: OutdoorSlice,
): number | null {
  if (reportAtMs === null || vapourPascals === null) return null;
  if (atMs - reportAtMs > WEATHER_STALE_MS) return null;
  return humidityPercent - Math.min(100, (100 * vapourPascals) / saturationPascals);
}

function stepOf(
  before: HumiditySensorSlice,
  atMs: number,
  air: CompartmentAir,
  waterIsAbout: boolean,
): number | null {
  const step = air.humidityPercent - before.percent;
  if (Math.abs(step) < STEP_PERCENT || before.percent >= STUCK_PERCENT) return null;
  if (before.atMs === null || atMs - before.atMs > STEP_WITHIN_MS) return null;
  const still =
    Math.abs(air.celsius - before.celsius) < STILL_KELVIN &&
    Math.abs(air.surfaceCelsius - before.surfaceCelsius) < STILL_KELVIN;
  return !still || (step > 0 && waterIsAbout) ? null : step;
}

/**
 * null when the step has gone again.
 *
 * @param shift what it reads now over what is usual against the air outside; null when not known
 */
function followed(
  step: HumidityStep,
  air: CompartmentAir,
  shift: number | null,
  elapsedMs: number,
): HumidityStep | null {
  const { percent, beforePascals } = step;
  const stayed = air.humidityPercent - Math.min(100, (100 * beforePascals) / air.saturationPascals);
  const shiftPercent =
    shift === null
      ? step.shiftPercent
      : smoothed(step.shiftPercent, shift, elapsedMs, SHIFT_TIME_CONSTANT_MS);
  const next = {
    percent,
    beforePascals,
    stayedPercent: smoothed(step.stayedPercent, stayed, elapsedMs, STAYED_TIME_CONSTANT_MS),
    shiftPercent,
    countedMs: Math.min(step.countedMs + elapsedMs, STANDS_MS),
    fault: step.fault,
  };
  if (isGone(next)) return null;
  return step.fault || !isProven(step, next) ? next : { ...next, fault: true };
}

function isGone({ percent, shiftPercent, countedMs, fault }: HumidityStep): boolean {
  if (shiftPercent === null) return !fault && countedMs > STAYED_MS + HOUR_MS;
  return countedMs >= JUDGED_AFTER_MS && shiftPercent / percent < RETURNED_SHARE;
}

function isProven(before: HumidityStep, step: HumidityStep): boolean {
  const { percent, stayedPercent, shiftPercent, countedMs } = step;
  if (before.countedMs < STAYED_MS && countedMs >= STAYED_MS) {
    const outside = shiftPercent !== null && shiftPercent / percent >= RETURNED_SHARE;
    return outside && isAboutAll((stayedPercent ?? 0) / percent);
  }
  return countedMs >= STANDS_MS && shiftPercent !== null && isAboutAll(shiftPercent / percent);
}

function isAboutAll(share: number): boolean {
  return share >= STANDS_SHARE && share <= STANDS_MOST_SHARE;
}
