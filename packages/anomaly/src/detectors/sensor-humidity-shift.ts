import { type FieldGuards, isBoolean, isNumber, isNumberOrNull } from '../field-guards.ts';
import { WEATHER_STALE_MS } from '../weather-track.ts';
import type { OutdoorSlice } from './outdoor.ts';
import type { CompartmentAir } from './sample.ts';
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
  readonly atMs: number | null;
  readonly percent: number;
  readonly celsius: number;
  readonly surfaceCelsius: number;
  /** What the cabinet reads over the air outside, brought to its temperature, points. */
  readonly usualPercent: number | null;
  readonly learnedMs: number;
  readonly stepPercent: number | null;
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
  atMs: null,
  percent: 0,
  celsius: 0,
  surfaceCelsius: 0,
  usualPercent: null,
  learnedMs: 0,
  stepPercent: null,
  shiftPercent: null,
  countedMs: 0,
  fault: false,
};

export const HUMIDITY_SHIFT_FIELDS: FieldGuards<HumidityShiftSlice> = {
  atMs: isNumberOrNull,
  percent: isNumber,
  celsius: isNumber,
  surfaceCelsius: isNumber,
  usualPercent: isNumberOrNull,
  learnedMs: isNumber,
  stepPercent: isNumberOrNull,
  shiftPercent: isNumberOrNull,
  countedMs: isNumber,
  fault: isBoolean,
};

/** To be called for instants that bring the compartment's air. */
export function stepHumidityShift(
  slice: HumidityShiftSlice,
  atMs: number,
  air: CompartmentAir,
  doorOpen: boolean,
  outdoor: OutdoorSlice,
  waterIsAbout: boolean,
): HumidityShiftSlice {
  const { reportAtMs, vapourPascals } = outdoor;
  const last = {
    atMs,
    percent: air.humidityPercent,
    celsius: air.celsius,
    surfaceCelsius: air.surfaceCelsius,
  };
  if (reportAtMs === null || vapourPascals === null || atMs - reportAtMs > WEATHER_STALE_MS) {
    return { ...slice, ...last };
  }
  const elapsedMs = slice.atMs === null ? 0 : Math.min(atMs - slice.atMs, HOUR_MS);
  const outside = Math.min(100, (100 * vapourPascals) / air.saturationPascals);
  const over = air.humidityPercent - outside;
  if (slice.stepPercent !== null) {
    const tells =
      air.humidityPercent >= LEAST_PERCENT &&
      air.humidityPercent <= MOST_PERCENT &&
      !(waterIsAbout && slice.stepPercent > 0);
    return tells ? { ...follow(slice, over, elapsedMs), ...last } : { ...slice, ...last };
  }
  const stepPercent =
    slice.learnedMs < LEARNED_MS || doorOpen ? null : stepOf(slice, atMs, air, waterIsAbout);
  if (stepPercent !== null) {
    return { ...slice, ...last, stepPercent, shiftPercent: null, countedMs: 0 };
  }
  return {
    ...slice,
    ...last,
    usualPercent: smoothed(slice.usualPercent, over, elapsedMs, USUAL_TIME_CONSTANT_MS),
    learnedMs: Math.min(slice.learnedMs + elapsedMs, LEARNED_MS),
  };
}

function stepOf(
  slice: HumidityShiftSlice,
  atMs: number,
  air: CompartmentAir,
  waterIsAbout: boolean,
): number | null {
  if (slice.atMs === null || atMs - slice.atMs > STEP_WITHIN_MS) return null;
  const step = air.humidityPercent - slice.percent;
  const still =
    Math.abs(air.celsius - slice.celsius) < STILL_KELVIN &&
    Math.abs(air.surfaceCelsius - slice.surfaceCelsius) < STILL_KELVIN;
  if (!still || Math.abs(step) < STEP_PERCENT) return null;
  return step > 0 && waterIsAbout ? null : step;
}

function follow(slice: HumidityShiftSlice, over: number, elapsedMs: number): HumidityShiftSlice {
  const stepPercent = slice.stepPercent ?? 0;
  const now = over - (slice.usualPercent ?? 0);
  const shiftPercent = smoothed(slice.shiftPercent, now, elapsedMs, SHIFT_TIME_CONSTANT_MS);
  const countedMs = Math.min(slice.countedMs + elapsedMs, STANDS_MS);
  const share = shiftPercent / stepPercent;
  if (countedMs >= JUDGED_AFTER_MS && share < RETURNED_SHARE) {
    return { ...slice, stepPercent: null, shiftPercent: null, countedMs: 0, fault: false };
  }
  const stands = countedMs >= STANDS_MS && share >= STANDS_SHARE && share <= STANDS_MOST_SHARE;
  return { ...slice, shiftPercent, countedMs, fault: slice.fault || stands };
}
