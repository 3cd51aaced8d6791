import { saturationOverIcePascals, saturationOverWaterPascals } from '@lineside/physics';

/**
 * Saturation pressures from a table, for the inner loop of the world: between points the line
 * through both is within 5e-6 of the formula, which is far below what a sensor sees.
 */
const LOW_CELSIUS = -90;
const HIGH_CELSIUS = 95;
const POINTS_PER_KELVIN = 20;

function tableOf(formula: (celsius: number) => number): Float64Array {
  const count = (HIGH_CELSIUS - LOW_CELSIUS) * POINTS_PER_KELVIN + 2;
  return Float64Array.from({ length: count }, (_, index) =>
    formula(LOW_CELSIUS + index / POINTS_PER_KELVIN),
  );
}

const WATER: Float64Array = tableOf(saturationOverWaterPascals);
const ICE: Float64Array = tableOf((celsius) => saturationOverIcePascals(Math.min(celsius, 0.01)));

function lookUp(table: Float64Array, celsius: number): number {
  const place =
    (Math.min(Math.max(celsius, LOW_CELSIUS), HIGH_CELSIUS) - LOW_CELSIUS) * POINTS_PER_KELVIN;
  const index = Math.floor(place);
  const below = table[index] ?? Number.NaN;
  const above = table[index + 1] ?? Number.NaN;
  return below + (place - index) * (above - below);
}

/** Saturation over liquid water, Pa. @param celsius -90 to 95; beyond, the value of the end. */
export function waterPascals(celsius: number): number {
  return lookUp(WATER, celsius);
}

/** Saturation over what lies on a surface: ice below 0 C, water above, Pa. */
export function surfacePascals(celsius: number): number {
  return lookUp(celsius < 0 ? ICE : WATER, celsius);
}
