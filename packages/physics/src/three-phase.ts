import { PhysicsRangeError, requireWithin } from './physics-range-error.ts';

const LARGEST_MAGNITUDE = 1e6;

/**
 * Unbalance of three magnitudes (voltages or currents): the largest deviation from the mean, over
 * the mean.
 *
 * Input:   three RMS magnitudes of one unit, 0 to 1e6, not all zero.
 * Output:  %, 0 to 200; independent of their order and of a common factor.
 * Source:  NEMA MG 1-14.36 (the definition for line voltages, used for currents as well). It is
 *          not the negative-sequence ratio: 460/467/450 is 1.96 % here and 2.15 % there.
 * Errors:  PhysicsRangeError PHYSICS_MAGNITUDE_RANGE.
 * Example: unbalancePercent(460, 467, 450) // 1.9608
 */
export function unbalancePercent(first: number, second: number, third: number): number {
  requireWithin(first, 0, LARGEST_MAGNITUDE, 'first magnitude', 'PHYSICS_MAGNITUDE_RANGE');
  requireWithin(second, 0, LARGEST_MAGNITUDE, 'second magnitude', 'PHYSICS_MAGNITUDE_RANGE');
  requireWithin(third, 0, LARGEST_MAGNITUDE, 'third magnitude', 'PHYSICS_MAGNITUDE_RANGE');
  const mean = (first + second + third) / 3;
  if (mean === 0) {
    throw new PhysicsRangeError(
      'PHYSICS_MAGNITUDE_RANGE',
      'unbalance of three zeros is not defined; check that the circuit is energised first',
    );
  }
  const largestDeviation = Math.max(
    Math.abs(first - mean),
    Math.abs(second - mean),
    Math.abs(third - mean),
  );
  return (100 * largestDeviation) / mean;
}
