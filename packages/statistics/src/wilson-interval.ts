import { normalQuantile } from './normal.ts';
import { requireCount, requireInside } from './ranges.ts';

/** Bounds of a true share, 0 to 1. */
export interface ShareInterval {
  readonly low: number;
  readonly high: number;
}

/**
 * The score interval of the true share behind `hits` of `of` cases, without continuity correction.
 *
 * Output: bounds 0 to 1; 0 and 1 without a case.
 * Source: Wilson (1927), J. Amer. Statist. Assoc. 22, 209-212.
 * Errors: RangeError unless hits and of are whole, 0 <= hits <= of and 0 < confidence < 1.
 */
export function wilsonInterval(hits: number, of: number, confidence = 0.95): ShareInterval {
  requireCount('of', of, 0);
  requireCount('hits', hits, 0, of);
  requireInside('confidence', confidence, 0, 1);
  if (of === 0) return { low: 0, high: 1 };
  const z = -normalQuantile((1 - confidence) / 2);
  const centre = hits + (z * z) / 2;
  const half = z * Math.sqrt((hits * (of - hits)) / of + (z * z) / 4);
  const total = of + z * z;
  // At the ends the bound is exact; rounding must not leave a hair.
  return {
    low: hits === 0 ? 0 : (centre - half) / total,
    high: hits === of ? 1 : (centre + half) / total,
  };
}
