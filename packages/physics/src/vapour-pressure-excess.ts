import { vapourPressurePascals } from './moist-air.ts';
import { requireWithin } from './physics-range-error.ts';
import { dewPointCelsius, saturationGrowthPerKelvin } from './saturation.ts';

/** A sensor that errs by more measures nothing. */
const MOST_HUMIDITY_ERROR_PERCENT = 50;
const MOST_TEMPERATURE_ERROR_KELVIN = 20;
const MOST_ERROR_PASCALS = 101_500;

/**
 * Error of a vapour pressure that comes from the errors of a humidity and a temperature sensor.
 *
 * Input:   relativeHumidityPercent 0 to 100; temperatureCelsius -100 to 100 C; the errors of both
 *          as standard deviations (or both as limits), 0 to 50 %RH and 0 to 20 K.
 * Output:  Pa, of the same kind as the errors given; at least 0, rising with each error.
 * Source:  propagation of independent errors to the first order.
 * Errors:  PhysicsRangeError PHYSICS_HUMIDITY_RANGE, PHYSICS_TEMPERATURE_RANGE,
 *          PHYSICS_ERROR_RANGE.
 * Example: vapourPressureErrorPascals(50, 25, 3, 0) // about 95
 */
export function vapourPressureErrorPascals(
  relativeHumidityPercent: number,
  temperatureCelsius: number,
  humidityErrorPercent: number,
  temperatureErrorKelvin: number,
): number {
  requireWithin(
    humidityErrorPercent,
    0,
    MOST_HUMIDITY_ERROR_PERCENT,
    'error of humidity in %RH',
    'PHYSICS_ERROR_RANGE',
  );
  requireWithin(
    temperatureErrorKelvin,
    0,
    MOST_TEMPERATURE_ERROR_KELVIN,
    'error of temperature in K',
    'PHYSICS_ERROR_RANGE',
  );
  const pascals = vapourPressurePascals(relativeHumidityPercent, temperatureCelsius);
  const fromHumidity =
    vapourPressurePascals(100, temperatureCelsius) * (humidityErrorPercent / 100);
  const fromTemperature =
    pascals * saturationGrowthPerKelvin(temperatureCelsius) * temperatureErrorKelvin;
  return Math.sqrt(fromHumidity * fromHumidity + fromTemperature * fromTemperature);
}

/**
 * Vapour-pressure excess: how much more vapour the air inside holds than the air outside. It is the
 * mark of water inside, since warming or cooling the same air does not change it.
 *
 * Input:   relative humidities 0 to 100 % over water; temperatures -100 to 100 C.
 * Output:  Pa, above 0 when there is more vapour inside.
 * Source:  definition, with Sonntag 1990 over water on both sides.
 * Errors:  PhysicsRangeError PHYSICS_HUMIDITY_RANGE, PHYSICS_TEMPERATURE_RANGE.
 */
export function vapourPressureExcessPascals(
  insideHumidityPercent: number,
  insideCelsius: number,
  outsideHumidityPercent: number,
  outsideCelsius: number,
): number {
  return (
    vapourPressurePascals(insideHumidityPercent, insideCelsius) -
    vapourPressurePascals(outsideHumidityPercent, outsideCelsius)
  );
}

/**
 * Error of a vapour-pressure excess from the errors on both sides.
 *
 * Input:   errors of the vapour pressure inside and outside, 0 to 101 500 Pa, of one kind.
 * Output:  Pa; between the larger of both and their sum.
 * Source:  propagation of independent errors. Two sensors of one make and age err together, which
 *          makes the error of their difference smaller, not larger.
 * Errors:  PhysicsRangeError PHYSICS_ERROR_RANGE.
 */
export function vapourPressureExcessErrorPascals(
  insideErrorPascals: number,
  outsideErrorPascals: number,
): number {
  requireWithin(
    insideErrorPascals,
    0,
    MOST_ERROR_PASCALS,
    'error inside in Pa',
    'PHYSICS_ERROR_RANGE',
  );
  requireWithin(
    outsideErrorPascals,
    0,
    MOST_ERROR_PASCALS,
    'error outside in Pa',
    'PHYSICS_ERROR_RANGE',
  );
  return Math.sqrt(
    insideErrorPascals * insideErrorPascals + outsideErrorPascals * outsideErrorPascals,
  );
}

/**
 * Error of the dew point that an error of the vapour pressure makes.
 *
 * Input:   vapourPressurePascals as for `dewPointCelsius`; errorPascals 0 to 101 500 Pa.
 * Output:  K, proportional to the error; the drier the air the larger.
 * Source:  derivative of the dew point (Sonntag 1990 over water), to the first order.
 * Errors:  PhysicsRangeError PHYSICS_PRESSURE_RANGE, PHYSICS_ERROR_RANGE.
 */
export function dewPointErrorKelvin(vapourPressurePascals: number, errorPascals: number): number {
  requireWithin(
    errorPascals,
    0,
    MOST_ERROR_PASCALS,
    'error of vapour pressure in Pa',
    'PHYSICS_ERROR_RANGE',
  );
  // The ends of the range come back from the inverse a rounding error outside of it.
  const dewPoint = Math.min(100, Math.max(-100, dewPointCelsius(vapourPressurePascals)));
  return errorPascals / (vapourPressurePascals * saturationGrowthPerKelvin(dewPoint));
}
