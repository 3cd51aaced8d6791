import { type FieldGuard, isNullOr, isNumber } from '../field-guards.ts';
import { precise } from './running-level.ts';

/**
 * How the leakage of a dry unit at rest follows its temperature: a sensor's drift, a filter's, or
 * insulation that conducts when warm. Learned from dry films only, where humidity does not matter.
 */
export type Warmth = readonly [
  meanCelsius: number,
  variance: number,
  /** Of temperature and leakage, mA K. */
  covariance: number,
  readings: number,
];

/** Two weeks of dry rest or so. */
const REMEMBERED_READINGS = 600;
/** Two days of it at least. */
const LEAST_READINGS = 150;
/** The slope is drawn to none as if so much variance without any had been seen, K2. */
const DRAWN_TO_NONE = 4;

export const isWarmth: FieldGuard = isNullOr(
  (warmth) => Array.isArray(warmth) && warmth.length === 4 && warmth.every(isNumber),
);

/** @param deviationMilliamps from what the unit leaks in such a film. */
export function nextWarmth(
  warmth: Warmth | null,
  celsius: number,
  deviationMilliamps: number,
): Warmth {
  if (warmth === null) return [precise(celsius), 0, 0, 1];
  const [mean, variance, covariance, readings] = warmth;
  const share = 1 / (readings + 1);
  const away = celsius - mean;
  return [
    precise(mean + share * away),
    precise((1 - share) * (variance + share * away * away)),
    precise((1 - share) * (covariance + share * away * deviationMilliamps)),
    Math.min(readings + 1, REMEMBERED_READINGS),
  ];
}

/** mA/K at rest in dry films; null until it has been seen over some days. */
export function milliampsPerKelvin(warmth: Warmth | null): number | null {
  if (warmth === null || warmth[3] < LEAST_READINGS) return null;
  const [, variance, covariance] = warmth;
  return Math.round((1000 * covariance) / (variance + DRAWN_TO_NONE)) / 1000 + 0;
}

/** Leakage as it would be at another temperature; the same while the slope is not known. */
export function atCelsius(milliamps: number, warmth: Warmth | null, celsius: number): number {
  const slope = milliampsPerKelvin(warmth);
  if (slope === null || warmth === null) return milliamps;
  return Math.max(milliamps + slope * (celsius - warmth[0]), 0);
}
