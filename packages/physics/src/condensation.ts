import { SEA_LEVEL_PASCALS } from './humidity-ratio.ts';
import { requireAboveZero, requireWithin } from './physics-range-error.ts';
import { saturationOverIcePascals, saturationOverWaterPascals } from './saturation.ts';

const WATER_VAPOUR_GAS_CONSTANT = 461.523;
const DRY_AIR_GAS_CONSTANT = 287.042;
const DRY_AIR_HEAT_CAPACITY = 1006;
const ZERO_CELSIUS_KELVIN = 273.15;
const GRAMS_PER_KILOGRAM = 1000;
const SECONDS_PER_HOUR = 3600;

/** Thermal over mass diffusivity of water vapour in air, 0 to 40 C (textbook, from memory). */
const LEWIS_NUMBER = 0.865;
/** Chilton and Colburn's exponent for the ratio of heat to mass transfer. */
const LEWIS_FACTOR: number = LEWIS_NUMBER ** (2 / 3);

/**
 * Vapour pressure right at a wet surface: saturation over water from 0 C upwards, over ice below.
 *
 * Input:   surfaceCelsius -100 to 100 C.
 * Output:  Pa, never falling with temperature; the step at 0 C is 0.06 Pa.
 * Source:  Sonntag 1990; a film on a frozen plate is taken as ice, as for the deposition point.
 * Errors:  PhysicsRangeError PHYSICS_TEMPERATURE_RANGE.
 */
export function surfaceVapourPressurePascals(surfaceCelsius: number): number {
  return surfaceCelsius < 0
    ? saturationOverIcePascals(surfaceCelsius)
    : saturationOverWaterPascals(surfaceCelsius);
}

/**
 * Water that a plate takes up from air, as dew or frost, or gives off while it is wet.
 *
 * Input:    plateCelsius, airCelsius -60 to 100 C; vapourPressurePascals of the air, 0 to 101 500;
 *           heatTransferWattsPerSquareMetreKelvin by convection, above 0 to 500. Still air over a
 *           plate is 2 to 5, a fan 10 to 50 (common practice, no source).
 * Output:   g/(m2 h). Above 0 the plate takes up water; below 0 it dries, if there is water on it.
 *           Above 0 exactly when the plate is below the deposition point of the air.
 * Source:   analogy of heat and mass transfer (Chilton and Colburn): h / (h_m rho c_p) = Le^(2/3),
 *           with the Lewis number of water vapour in air 0.865 (textbook values from memory). Air
 *           at sea level; the density is that of dry air at the mean of both temperatures.
 * Accuracy: the convection coefficient decides, and is rarely known better than to a factor of 2.
 * Errors:   PhysicsRangeError PHYSICS_TEMPERATURE_RANGE, PHYSICS_PRESSURE_RANGE,
 *           PHYSICS_HEAT_TRANSFER_RANGE.
 */
export function condensingGramsPerSquareMetreHour(
  plateCelsius: number,
  airCelsius: number,
  vapourPressurePascals: number,
  heatTransferWattsPerSquareMetreKelvin: number,
): number {
  requireWithin(plateCelsius, -60, 100, 'plate temperature in C', 'PHYSICS_TEMPERATURE_RANGE');
  requireWithin(airCelsius, -60, 100, 'air temperature in C', 'PHYSICS_TEMPERATURE_RANGE');
  requireWithin(
    vapourPressurePascals,
    0,
    101_500,
    'vapour pressure in Pa',
    'PHYSICS_PRESSURE_RANGE',
  );
  requireAboveZero(
    heatTransferWattsPerSquareMetreKelvin,
    500,
    'heat transfer coefficient in W/(m2 K)',
    'PHYSICS_HEAT_TRANSFER_RANGE',
  );
  const filmKelvin = (plateCelsius + airCelsius) / 2 + ZERO_CELSIUS_KELVIN;
  const density = SEA_LEVEL_PASCALS / (DRY_AIR_GAS_CONSTANT * filmKelvin);
  const metresPerSecond =
    heatTransferWattsPerSquareMetreKelvin / (density * DRY_AIR_HEAT_CAPACITY * LEWIS_FACTOR);
  const excessPascals = vapourPressurePascals - surfaceVapourPressurePascals(plateCelsius);
  const kilogramsPerCubicMetre = excessPascals / (WATER_VAPOUR_GAS_CONSTANT * filmKelvin);
  return metresPerSecond * kilogramsPerCubicMetre * GRAMS_PER_KILOGRAM * SECONDS_PER_HOUR;
}
