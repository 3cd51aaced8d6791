import { PhysicsRangeError, requireWithin } from './physics-range-error.ts';
import { saturationOverWaterPascals } from './saturation.ts';

/** Molar mass of water over that of dry air. */
const MASS_RATIO = 0.621945;
/** Air pressures that occur where people put machines: 9000 m up to a deep mine. */
const LOWEST_AIR_PASCALS = 30_000;
const HIGHEST_AIR_PASCALS = 120_000;
/** The share of vapour in air above which the ratio says little: nearly steam. */
const MOST_VAPOUR_SHARE = 0.99;

/** Air pressure at sea level in the standard atmosphere, Pa. */
export const SEA_LEVEL_PASCALS = 101_325;

function requireAirPressure(airPressurePascals: number): void {
  requireWithin(
    airPressurePascals,
    LOWEST_AIR_PASCALS,
    HIGHEST_AIR_PASCALS,
    'air pressure in Pa',
    'PHYSICS_PRESSURE_RANGE',
  );
}

/**
 * Air pressure of the standard atmosphere at an altitude.
 *
 * Input:   altitudeMetres -500 to 9000 m above sea level.
 * Output:  Pa, strictly falling.
 * Source:  ASHRAE Fundamentals 2017 chapter 1, standard atmosphere (eq. 3, number from memory).
 * Errors:  PhysicsRangeError PHYSICS_ALTITUDE_RANGE.
 * Example: standardAirPressurePascals(500) // about 95 461
 */
export function standardAirPressurePascals(altitudeMetres: number): number {
  requireWithin(altitudeMetres, -500, 9000, 'altitude in m', 'PHYSICS_ALTITUDE_RANGE');
  return SEA_LEVEL_PASCALS * (1 - 2.25577e-5 * altitudeMetres) ** 5.2559;
}

/**
 * Humidity ratio: mass of water vapour carried by a mass of dry air. Unlike relative humidity it
 * does not change when the air is only warmed or cooled.
 *
 * Input:    vapourPressurePascals 0 to 99 % of airPressurePascals; airPressurePascals 30 000 to
 *           120 000 Pa, sea level unless given.
 * Output:   kg/kg, strictly increasing in the vapour pressure.
 * Source:   ideal gases, ASHRAE Fundamentals 2017 chapter 1 (eq. 20, number from memory).
 * Accuracy: 0.5 % below ASHRAE's table 2 up to 25 C, 1 % at 50 C (real gas).
 * Errors:   PhysicsRangeError PHYSICS_PRESSURE_RANGE.
 * Example:  humidityRatioKilogramsPerKilogram(1169.4) // about 0.00726
 */
export function humidityRatioKilogramsPerKilogram(
  vapourPressurePascals: number,
  airPressurePascals: number = SEA_LEVEL_PASCALS,
): number {
  requireAirPressure(airPressurePascals);
  requireWithin(
    vapourPressurePascals,
    0,
    MOST_VAPOUR_SHARE * airPressurePascals,
    'vapour pressure in Pa',
    'PHYSICS_PRESSURE_RANGE',
  );
  return (MASS_RATIO * vapourPressurePascals) / (airPressurePascals - vapourPressurePascals);
}

/**
 * Vapour pressure of air from its humidity ratio: the inverse of
 * `humidityRatioKilogramsPerKilogram`.
 *
 * Input:   ratioKilogramsPerKilogram 0 to 60; airPressurePascals as there.
 * Output:  Pa.
 * Source:  ideal gases, ASHRAE Fundamentals 2017 chapter 1.
 * Errors:  PhysicsRangeError PHYSICS_HUMIDITY_RANGE, PHYSICS_PRESSURE_RANGE.
 */
export function vapourPressureOfRatioPascals(
  ratioKilogramsPerKilogram: number,
  airPressurePascals: number = SEA_LEVEL_PASCALS,
): number {
  requireAirPressure(airPressurePascals);
  requireWithin(
    ratioKilogramsPerKilogram,
    0,
    60,
    'humidity ratio in kg/kg',
    'PHYSICS_HUMIDITY_RANGE',
  );
  return (
    (airPressurePascals * ratioKilogramsPerKilogram) / (MASS_RATIO + ratioKilogramsPerKilogram)
  );
}

/** More than this many times saturation is a mistake in the input, not weather. */
const MOST_SATURATION = 1000;

/**
 * Relative humidity, over liquid water, that air of this vapour pressure has at a temperature, its
 * own or that of a surface it touches. Above 100 % a surface of that temperature is dripping.
 *
 * Input:   vapourPressurePascals 0 to 101 500 Pa; temperatureCelsius -100 to 100 C.
 * Output:  %, 0 to 100 000; inverse of `vapourPressurePascals` up to 100.
 * Source:  definition of relative humidity (WMO-No. 8, with respect to water below 0 C as well).
 * Errors:  PhysicsRangeError PHYSICS_PRESSURE_RANGE, PHYSICS_TEMPERATURE_RANGE; PHYSICS_NOT_DEFINED
 *          above a thousand times saturation, which no air holds.
 * Example: relativeHumidityPercent(1169.6, 20) // about 50
 */
export function relativeHumidityPercent(
  vapourPressurePascals: number,
  temperatureCelsius: number,
): number {
  requireWithin(
    vapourPressurePascals,
    0,
    101_500,
    'vapour pressure in Pa',
    'PHYSICS_PRESSURE_RANGE',
  );
  const saturation = vapourPressurePascals / saturationOverWaterPascals(temperatureCelsius);
  if (saturation > MOST_SATURATION) {
    throw new PhysicsRangeError(
      'PHYSICS_NOT_DEFINED',
      `${vapourPressurePascals} Pa at ${temperatureCelsius} C is more than ${MOST_SATURATION} ` +
        'times saturation; check the units of both',
    );
  }
  return 100 * saturation;
}
