import { requireWithin } from './physics-range-error.ts';
import {
  dewPointCelsius,
  frostPointCelsius,
  saturationOverWaterPascals,
  WATER_RANGE_CELSIUS,
} from './saturation.ts';

/** Specific gas constant of water vapour, J/(kg K): CODATA R over 18.015268 g/mol. */
const WATER_VAPOUR_GAS_CONSTANT = 461.523;
const ZERO_CELSIUS_KELVIN = 273.15;
const GRAMS_PER_KILOGRAM = 1000;

/** Below this vapour pressure moisture freezes out before it condenses. */
const SATURATION_AT_ZERO_PASCALS: number = saturationOverWaterPascals(0);

/**
 * Vapour pressure of air from its relative humidity over liquid water, as humidity sensors and
 * weather reports give it at every temperature.
 *
 * Input:   relativeHumidityPercent 0 to 100; temperatureCelsius -100 to 100 C.
 * Output:  Pa.
 * Source:  definition of relative humidity (WMO-No. 8, with respect to water below 0 C as well).
 * Errors:  PhysicsRangeError PHYSICS_HUMIDITY_RANGE, PHYSICS_TEMPERATURE_RANGE.
 * Example: vapourPressurePascals(50, 20) // about 1169.6
 */
export function vapourPressurePascals(
  relativeHumidityPercent: number,
  temperatureCelsius: number,
): number {
  requireWithin(
    relativeHumidityPercent,
    0,
    100,
    'relative humidity in %',
    'PHYSICS_HUMIDITY_RANGE',
  );
  return (relativeHumidityPercent / 100) * saturationOverWaterPascals(temperatureCelsius);
}

/**
 * The temperature at which a cooling surface begins to take up moisture from air of this vapour
 * pressure: the dew point from 0 C upwards, the frost point below.
 *
 * Input:   vapourPressurePascals, about 0.004 to 101 400 Pa.
 * Output:  C, never decreasing in its argument, continuous at 0 C within 0.001 K.
 * Source:  Sonntag 1990 over water and over ice.
 * Errors:  PhysicsRangeError PHYSICS_PRESSURE_RANGE.
 */
export function depositionPointCelsius(vapourPressurePascals: number): number {
  if (vapourPressurePascals >= SATURATION_AT_ZERO_PASCALS) {
    return dewPointCelsius(vapourPressurePascals);
  }
  return Math.min(0, frostPointCelsius(vapourPressurePascals));
}

/**
 * Dew-point margin: surface temperature minus the dew point of the air, frost point below 0 C.
 * Zero or less means that the surface takes up water.
 *
 * Input:   surfaceCelsius -100 to 200 C; vapourPressurePascals as in `depositionPointCelsius`.
 * Output:  K.
 * Source:  definition; condensation where the surface is at or below the dew point.
 * Errors:  PhysicsRangeError PHYSICS_TEMPERATURE_RANGE, PHYSICS_PRESSURE_RANGE.
 */
export function dewPointMarginKelvin(
  surfaceCelsius: number,
  vapourPressurePascals: number,
): number {
  requireWithin(surfaceCelsius, -100, 200, 'surface temperature in C', 'PHYSICS_TEMPERATURE_RANGE');
  return surfaceCelsius - depositionPointCelsius(vapourPressurePascals);
}

/**
 * Mass of water vapour in a volume of air.
 *
 * Input:   vapourPressurePascals 0 to 101 500 Pa; temperatureCelsius -100 to 100 C.
 * Output:  g/m3.
 * Source:  ideal gas law with the gas constant of water vapour, 461.523 J/(kg K).
 * Errors:  PhysicsRangeError PHYSICS_PRESSURE_RANGE, PHYSICS_TEMPERATURE_RANGE.
 * Example: absoluteHumidityGramsPerCubicMetre(1169.4, 20) // about 8.64
 */
export function absoluteHumidityGramsPerCubicMetre(
  vapourPressurePascals: number,
  temperatureCelsius: number,
): number {
  const { low, high } = WATER_RANGE_CELSIUS;
  requireWithin(
    vapourPressurePascals,
    0,
    101_500,
    'vapour pressure in Pa',
    'PHYSICS_PRESSURE_RANGE',
  );
  requireWithin(temperatureCelsius, low, high, 'temperature in C', 'PHYSICS_TEMPERATURE_RANGE');
  const kelvin = temperatureCelsius + ZERO_CELSIUS_KELVIN;
  return (GRAMS_PER_KILOGRAM * vapourPressurePascals) / (WATER_VAPOUR_GAS_CONSTANT * kelvin);
}
