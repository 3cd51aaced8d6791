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
 * Uses: `rh t tp door`, the outdoor report. What the air outside would read at the compartment's
 * temperature is the reference: the cabinet's own difference to it is learned before. A door that
 * is opened, washing and rain that gets in make steps too; they are gone within hours, or dry. So
 * a step has to stand for a day and a half without water about, at about its full size.
 * Without an outdoor station nothing is said.
 */
export interface HumidityShiftSlice {
  /** What the cabinet reads over the air outside, brought to its temperature, points. */
  readonly usualPercent: number | null;
  readonly learnedMs: number;
  readonly step: HumidityStep | null;
}

interface HumidityStep {
  readonly percent: number;
  /** The mean since the step, over `usualPercent`. */
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
const JUDGED_AFTER_MS: number = 3 * HOUR_MS;
const STANDS_MS: number = 36 * HOUR_MS;
const RETURNED_SHARE = 0.35;
const STANDS_SHARE = 0.6;
const STANDS_MOST_SHARE = 1.7;
/** Near its ends a humidity cannot show a shift. */
const LEAST_PERCENT = 3;
const MOST_PERCENT = 97;

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
  const { reportAtMs, vapourPascals } = outdoor;
  if (reportAtMs === null || vapourPascals === null || atMs - reportAtMs > WEATHER_STALE_MS) {
    return slice;
  }
  const { usualPercent, learnedMs, step } = slice;
  const elapsedMs = before.atMs === null ? 0 : Math.min(atMs - before.atMs, HOUR_MS);
  const outside = Math.min(100, (100 * vapourPascals) / air.saturationPascals);
  const over = air.humidityPercent - outside;
  if (step !== null) {
    const tells =
      air.humidityPercent >= LEAST_PERCENT &&
      air.humidityPercent <= MOST_PERCENT &&
      !(waterIsAbout && step.percent > 0);
    if (!tells) return slice;
    return { usualPercent, learnedMs, step: followed(step, over - (usualPercent ?? 0), elapsedMs) };
  }
  const percent =
    learnedMs < LEARNED_MS || doorOpen ? null : stepOf(before, atMs, air, waterIsAbout);
  if (percent !== null) {
    const begun = { percent, shiftPercent: null, countedMs: 0, fault: false };
    return { usualPercent, learnedMs, step: begun };
  }
  return {
    usualPercent: smoothed(usualPercent, over, elapsedMs, USUAL_TIME_CONSTANT_MS),
    learnedMs: Math.min(learnedMs + elapsedMs, LEARNED_MS),
    step: null,
  };
}

function stepOf(
  before: HumiditySensorSlice,
  atMs: number,
  air: CompartmentAir,
  waterIsAbout: boolean,
): number | null {
  const step = air.humidityPercent - before.percent;
  if (Math.abs(step) < STEP_PERCENT) return null;
  if (before.atMs === null || atMs - before.atMs > STEP_WITHIN_MS) return null;
  const still =
    Math.abs(air.celsius - before.celsius) < STILL_KELVIN &&
    Math.abs(air.surfaceCelsius - before.surfaceCelsius) < STILL_KELVIN;
  return !still || (step > 0 && waterIsAbout) ? null : step;
}

/** null when the step has gone again. */
function followed(step: HumidityStep, over: number, elapsedMs: number): HumidityStep | null {
  const { percent, fault } = step;
  const shiftPercent = smoothed(step.shiftPercent, over, elapsedMs, SHIFT_TIME_CONSTANT_MS);
  const countedMs = Math.min(step.countedMs + elapsedMs, STANDS_MS);
  const share = shiftPercent / percent;
  if (countedMs >= JUDGED_AFTER_MS && share < RETURNED_SHARE) return null;
  const stands = countedMs >= STANDS_MS && share >= STANDS_SHARE && share <= STANDS_MOST_SHARE;
  return { percent, shiftPercent, countedMs, fault: fault || stands };
}
