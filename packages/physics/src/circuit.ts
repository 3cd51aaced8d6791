import { PhysicsRangeError, requireWithin } from './physics-range-error.ts';
import { standardSizeDownAmps, standardSizeUpAmps } from './standard-sizes.ts';

/** Most loads that one unit has; a longer list is a mistake. */
const MOST_LOADS = 64;
const LARGEST_LOAD_AMPS = 600;

/** The largest load times a factor, and the others as they are. */
function weighted(loadAmps: readonly number[], largestFactor: number): number {
  requireWithin(loadAmps.length, 1, MOST_LOADS, 'number of loads', 'PHYSICS_CURRENT_RANGE');
  let largest = 0;
  let sum = 0;
  for (const amps of loadAmps) {
    requireWithin(amps, 0, LARGEST_LOAD_AMPS, 'rated load in A', 'PHYSICS_CURRENT_RANGE');
    largest = Math.max(largest, amps);
    sum += amps;
  }
  return sum + (largestFactor - 1) * largest;
}

/**
 * Minimum circuit ampacity: what the wires to a unit must carry.
 *
 * Input:   rated load amps of everything that runs together, 0 to 600 A each, 1 to 64 of them.
 * Output:  A: 1.25 times the largest and the others once.
 * Source:  NEC 440.33 and 430.24.
 * Errors:  PhysicsRangeError PHYSICS_CURRENT_RANGE.
 * Example: minimumCircuitAmps([20, 1.5]) // 26.5
 */
export function minimumCircuitAmps(loadAmps: readonly number[]): number {
  return weighted(loadAmps, 1.25);
}

/**
 * How much of the largest compressor the protection may be:
 * - `base`: 1.75 times, where one starts;
 * - `ceiling`: 2.25 times, where it will not start otherwise, and on equipment nameplates;
 * - `least`: 1.5 times, the least fuse that UL 1995 clause 36.1 asks for.
 */
export type ProtectionBasis = 'base' | 'ceiling' | 'least';

const FACTOR_OF: Readonly<Record<ProtectionBasis, number>> = {
  base: 1.75,
  ceiling: 2.25,
  least: 1.5,
};

/**
 * Overcurrent protection of a unit before it is brought to a standard size.
 *
 * Input:   rated load amps as `minimumCircuitAmps`; the basis.
 * Output:  A: the factor times the largest, and the others once.
 * Source:  NEC 440.22(A) and (B)(1); UL 1995.
 * Errors:  PhysicsRangeError PHYSICS_CURRENT_RANGE.
 * Example: protectionAmps([20, 1.5], 'ceiling') // 46.5
 */
export function protectionAmps(loadAmps: readonly number[], basis: ProtectionBasis): number {
  return weighted(loadAmps, FACTOR_OF[basis]);
}

/**
 * Maximum overcurrent protection in standard sizes, as a nameplate states it.
 *
 * Input:   rated load amps as `minimumCircuitAmps`; the basis, `ceiling` unless stated.
 * Output:  A, a standard size: the next one down, at least 15 A, never below the minimum circuit
 *          ampacity.
 * Source:  UL 1995 and UL 60335-2-40 for nameplates; NEC 440.22 and 240.6(A). Sources differ on
 *          whether the 175 % may be rounded up; here it is rounded down.
 * Errors:  PhysicsRangeError PHYSICS_CURRENT_RANGE; PHYSICS_NOT_DEFINED where that is above 600 A.
 * Example: maximumProtectionAmps([19.2, 19.2, 2, 2, 7.6]) // 70
 */
export function maximumProtectionAmps(
  loadAmps: readonly number[],
  basis: Exclude<ProtectionBasis, 'least'> = 'ceiling',
): number {
  const exact = Math.max(15, protectionAmps(loadAmps, basis));
  const minimum = minimumCircuitAmps(loadAmps);
  if (exact > 600) {
    throw new PhysicsRangeError(
      'PHYSICS_NOT_DEFINED',
      `protection of ${exact} A lies beyond the standard sizes up to 600 A; check the loads`,
    );
  }
  return Math.max(standardSizeDownAmps(exact), standardSizeUpAmps(minimum));
}
