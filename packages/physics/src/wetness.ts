import { requireWithin } from './physics-range-error.ts';

/** Where the time-of-wetness criterion begins. */
export interface WetnessCriterion {
  readonly humidityPercent: number;
  /** True when exactly `humidityPercent` counts as wet: sources of ISO 9223 differ on it. */
  readonly humidityInclusive: boolean;
}

/** ISO 9223: RH above 80 %, temperature above 0 C. */
export const ISO_9223_CRITERION: WetnessCriterion = {
  humidityPercent: 80,
  humidityInclusive: false,
};

/**
 * The time-of-wetness criterion: whether a surface in this air counts as wet.
 *
 * Input:   relativeHumidityPercent 0 to 100 over water; temperatureCelsius -100 to 200 C; the
 *          criterion, ISO 9223's unless given.
 * Output:  true when wet. 0 C itself is not wet.
 * Source:  ISO 9223 (RH > 80 % and T > 0 C, as quoted by several sources; the standard itself was
 *          not at hand). Not valid where the surface is colder than the air: see the margin.
 * Errors:  PhysicsRangeError PHYSICS_HUMIDITY_RANGE, PHYSICS_TEMPERATURE_RANGE.
 */
export function isTimeOfWetness(
  relativeHumidityPercent: number,
  temperatureCelsius: number,
  criterion: WetnessCriterion = ISO_9223_CRITERION,
): boolean {
  requireWithin(
    relativeHumidityPercent,
    0,
    100,
    'relative humidity in %',
    'PHYSICS_HUMIDITY_RANGE',
  );
  requireWithin(temperatureCelsius, -100, 200, 'temperature in C', 'PHYSICS_TEMPERATURE_RANGE');
  if (temperatureCelsius <= 0) return false;
  return criterion.humidityInclusive
    ? relativeHumidityPercent >= criterion.humidityPercent
    : relativeHumidityPercent > criterion.humidityPercent;
}

/** Classes of time of wetness, driest first. */
export const WETNESS_CLASSES = ['tau1', 'tau2', 'tau3', 'tau4', 'tau5'] as const;
export type WetnessClass = (typeof WETNESS_CLASSES)[number];

/** Hours of a leap year, the most a year can be wet. */
const MOST_HOURS_PER_YEAR = 8784;

/**
 * Class of a year's time of wetness: up to 10, 250, 2500, 5500 h/year, and above.
 *
 * Input:   wetHoursPerYear 0 to 8784.
 * Output:  tau1 (driest) to tau5; each upper bound belongs to the lower class.
 * Source:  ISO 9223:1992 table 1 (informative in the 2012 edition).
 * Errors:  PhysicsRangeError PHYSICS_DURATION_RANGE.
 */
export function wetnessClass(wetHoursPerYear: number): WetnessClass {
  requireWithin(
    wetHoursPerYear,
    0,
    MOST_HOURS_PER_YEAR,
    'wet hours per year',
    'PHYSICS_DURATION_RANGE',
  );
  if (wetHoursPerYear <= 10) return 'tau1';
  if (wetHoursPerYear <= 250) return 'tau2';
  if (wetHoursPerYear <= 2500) return 'tau3';
  if (wetHoursPerYear <= 5500) return 'tau4';
  return 'tau5';
}
