import { requireWithin } from './physics-range-error.ts';

/**
 * Saturation of water vapour over liquid water and over ice, and its inverse.
 *
 * Formula: D. Sonntag 1990, "Important new values of the physical constants of 1986, vapour
 * pressure formulations based on the ITS-90, and psychrometer formulae", Z. Meteorol. 70, 340-344.
 *
 * Why this one. Three published forms were compared with IAPWS (SR1-86 over water, R14-08 over
 * ice), -40 to 50 C:
 * - WMO-No. 8 Magnus: within 0.31 %, closed inverse, stated for -45 to 60 C over water;
 * - ASHRAE (Hyland and Wexler): within 0.03 %, but stated over water from 0 C upwards only, while
 *   humidity sensors report over liquid water below 0 C as well;
 * - Sonntag: within 0.04 %, one form for supercooled and warm water, -100 to 100 C.
 * A cabinet in the sun passes 60 C and a winter night passes 0 C, so only the last covers the job.
 * The inverse needs two or three Newton steps, which a reading a minute does not notice.
 */

/** Range that the formula over water is used in, C (limits as commonly quoted, from memory). */
export const WATER_RANGE_CELSIUS: { readonly low: number; readonly high: number } = {
  low: -100,
  high: 100,
};
/** Range that the formula over ice is used in, C; its upper end is the triple point. */
export const ICE_RANGE_CELSIUS: { readonly low: number; readonly high: number } = {
  low: -100,
  high: 0.01,
};

const ZERO_CELSIUS_KELVIN = 273.15;

/** ln(p / Pa) = overT / T + constant + linear T + square T^2 + logarithm ln T, T in K. */
interface SonntagCoefficients {
  readonly overT: number;
  readonly constant: number;
  readonly linear: number;
  readonly square: number;
  readonly logarithm: number;
}

const WATER: SonntagCoefficients = {
  overT: -6096.9385,
  constant: 21.2409642,
  linear: -2.711193e-2,
  square: 1.673952e-5,
  logarithm: 2.433502,
};

const ICE: SonntagCoefficients = {
  overT: -6024.5282,
  constant: 29.32707,
  linear: 1.0613868e-2,
  square: -1.3198825e-5,
  logarithm: -0.49382577,
};

/** Magnus form of WMO-No. 8 (annex 4.B): only the first guess of the inverse. */
interface MagnusCoefficients {
  readonly slope: number;
  readonly offsetCelsius: number;
}
const MAGNUS_WATER: MagnusCoefficients = { slope: 17.62, offsetCelsius: 243.12 };
const MAGNUS_ICE: MagnusCoefficients = { slope: 22.46, offsetCelsius: 272.62 };
const LN_MAGNUS_PASCALS: number = Math.log(611.2);

function lnSaturation(k: SonntagCoefficients, kelvin: number): number {
  return (
    k.overT / kelvin +
    k.constant +
    (k.linear + k.square * kelvin) * kelvin +
    k.logarithm * Math.log(kelvin)
  );
}

function lnSaturationSlope(k: SonntagCoefficients, kelvin: number): number {
  return (k.logarithm - k.overT / kelvin) / kelvin + k.linear + 2 * k.square * kelvin;
}

/** Newton steps that end the inverse at the latest; three reach 1e-9 K over the whole range. */
const INVERSE_MOST_STEPS = 8;
const INVERSE_TOLERANCE_KELVIN = 1e-7;

function invert(k: SonntagCoefficients, guess: MagnusCoefficients, pascals: number): number {
  const target = Math.log(pascals);
  const ratio = target - LN_MAGNUS_PASCALS;
  let kelvin = (guess.offsetCelsius * ratio) / (guess.slope - ratio) + ZERO_CELSIUS_KELVIN;
  for (let step = 0; step < INVERSE_MOST_STEPS; step += 1) {
    const correction = (lnSaturation(k, kelvin) - target) / lnSaturationSlope(k, kelvin);
    kelvin -= correction;
    if (Math.abs(correction) < INVERSE_TOLERANCE_KELVIN) break;
  }
  return kelvin - ZERO_CELSIUS_KELVIN;
}

/**
 * Saturation pressure of water vapour over liquid water, also supercooled.
 *
 * Input:    temperatureCelsius, -100 to 100 C.
 * Output:   Pa, above 0, strictly increasing.
 * Source:   Sonntag 1990, over water.
 * Accuracy: 0.04 % of IAPWS from -40 to 50 C.
 * Errors:   PhysicsRangeError PHYSICS_TEMPERATURE_RANGE.
 * Example:  saturationOverWaterPascals(25) // about 3169.9
 */
export function saturationOverWaterPascals(temperatureCelsius: number): number {
  const { low, high } = WATER_RANGE_CELSIUS;
  requireWithin(temperatureCelsius, low, high, 'temperature in C', 'PHYSICS_TEMPERATURE_RANGE');
  return Math.exp(lnSaturation(WATER, temperatureCelsius + ZERO_CELSIUS_KELVIN));
}

/**
 * Saturation pressure of water vapour over ice.
 *
 * Input:    temperatureCelsius, -100 to 0.01 C.
 * Output:   Pa, above 0, strictly increasing.
 * Source:   Sonntag 1990, over ice.
 * Accuracy: 0.04 % of IAPWS R14-08 from -40 to 0 C.
 * Errors:   PhysicsRangeError PHYSICS_TEMPERATURE_RANGE.
 * Example:  saturationOverIcePascals(-20) // about 103.24
 */
export function saturationOverIcePascals(temperatureCelsius: number): number {
  const { low, high } = ICE_RANGE_CELSIUS;
  requireWithin(temperatureCelsius, low, high, 'temperature in C', 'PHYSICS_TEMPERATURE_RANGE');
  return Math.exp(lnSaturation(ICE, temperatureCelsius + ZERO_CELSIUS_KELVIN));
}

/**
 * How much the saturation pressure over liquid water rises with temperature, as a share of itself.
 *
 * Input:   temperatureCelsius, -100 to 100 C.
 * Output:  1/K, above 0 and falling with temperature: 0.060 at 25 C, 0.073 at 0 C.
 * Source:  derivative of Sonntag 1990 over water.
 * Errors:  PhysicsRangeError PHYSICS_TEMPERATURE_RANGE.
 */
export function saturationGrowthPerKelvin(temperatureCelsius: number): number {
  const { low, high } = WATER_RANGE_CELSIUS;
  requireWithin(temperatureCelsius, low, high, 'temperature in C', 'PHYSICS_TEMPERATURE_RANGE');
  return lnSaturationSlope(WATER, temperatureCelsius + ZERO_CELSIUS_KELVIN);
}

const LOWEST_WATER_PASCALS: number = saturationOverWaterPascals(WATER_RANGE_CELSIUS.low);
const HIGHEST_WATER_PASCALS: number = saturationOverWaterPascals(WATER_RANGE_CELSIUS.high);
const LOWEST_ICE_PASCALS: number = saturationOverIcePascals(ICE_RANGE_CELSIUS.low);
const HIGHEST_ICE_PASCALS: number = saturationOverIcePascals(ICE_RANGE_CELSIUS.high);

/**
 * Dew point: where air of this vapour pressure is saturated over liquid water.
 *
 * Input:   vapourPressurePascals, about 0.004 to 101 400 Pa (saturation at -100 and 100 C).
 * Output:  C, strictly increasing; inverse of `saturationOverWaterPascals` within 1e-6 K.
 * Source:  Sonntag 1990 over water, inverted by Newton's method.
 * Errors:  PhysicsRangeError PHYSICS_PRESSURE_RANGE; perfectly dry air has no dew point.
 * Example: dewPointCelsius(1169.4) // about 9.27, air of 20 C and 50 %RH
 */
export function dewPointCelsius(vapourPressurePascals: number): number {
  requireWithin(
    vapourPressurePascals,
    LOWEST_WATER_PASCALS,
    HIGHEST_WATER_PASCALS,
    'vapour pressure in Pa',
    'PHYSICS_PRESSURE_RANGE',
  );
  return invert(WATER, MAGNUS_WATER, vapourPressurePascals);
}

/**
 * Frost point: where air of this vapour pressure is saturated over ice.
 *
 * Input:   vapourPressurePascals, about 0.0014 to 611.66 Pa (saturation over ice, -100 to 0.01 C).
 * Output:  C, strictly increasing; inverse of `saturationOverIcePascals` within 1e-6 K.
 * Source:  Sonntag 1990 over ice, inverted by Newton's method.
 * Errors:  PhysicsRangeError PHYSICS_PRESSURE_RANGE; above the triple point there is no frost.
 * Example: frostPointCelsius(87.9) // about -21.7
 */
export function frostPointCelsius(vapourPressurePascals: number): number {
  requireWithin(
    vapourPressurePascals,
    LOWEST_ICE_PASCALS,
    HIGHEST_ICE_PASCALS,
    'vapour pressure in Pa',
    'PHYSICS_PRESSURE_RANGE',
  );
  return invert(ICE, MAGNUS_ICE, vapourPressurePascals);
}
