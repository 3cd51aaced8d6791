import { PhysicsRangeError, requireAboveZero, requireWithin } from './physics-range-error.ts';

/** Standard ampere ratings of fuses and breakers up to 600 A, NEC 240.6(A). */
export const STANDARD_AMPS: readonly number[] = [
  15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350,
  400, 450, 500, 600,
];

const SMALLEST_AMPS = 15;
const LARGEST_AMPS = 600;
/** Sums of amps such as 2.25 x 19.2 + 11.6 end a few rounding errors beside the whole number. */
const ROUNDING_SHARE = 1e-9;

/**
 * The largest standard size that is not above a current.
 *
 * Input:   amps 15 to 600 A.
 * Output:  A; never falling with the current.
 * Source:  NEC 240.6(A).
 * Errors:  PhysicsRangeError PHYSICS_CURRENT_RANGE; no standard size lies below 15 A.
 * Example: standardSizeDownAmps(46.5) // 45
 */
export function standardSizeDownAmps(amps: number): number {
  requireWithin(
    amps,
    SMALLEST_AMPS,
    LARGEST_AMPS,
    'current for a standard size in A',
    'PHYSICS_CURRENT_RANGE',
  );
  const limit = amps * (1 + ROUNDING_SHARE);
  return STANDARD_AMPS.findLast((size) => size <= limit) ?? SMALLEST_AMPS;
}

/**
 * The smallest standard size that is not below a current.
 *
 * Input:   amps 0 to 600 A.
 * Output:  A, at least 15; never falling with the current.
 * Source:  NEC 240.6(A).
 * Errors:  PhysicsRangeError PHYSICS_CURRENT_RANGE; larger sizes are not in the list.
 */
export function standardSizeUpAmps(amps: number): number {
  requireWithin(amps, 0, LARGEST_AMPS, 'current for a standard size in A', 'PHYSICS_CURRENT_RANGE');
  const limit = amps * (1 - ROUNDING_SHARE);
  return STANDARD_AMPS.find((size) => size >= limit) ?? LARGEST_AMPS;
}

/**
 * What is to be said of the size of a fitted fuse:
 * - `above-maximum`: larger than the nameplate's maximum, protects neither wire nor motor;
 * - `below-minimum`: smaller than the circuit's minimum ampacity, opens in good weather;
 * - `odd-size`: within both, but not a standard size, so perhaps misread;
 * - `fits`;
 * - `unknown`: the nameplate's maximum is not known, and nothing else is wrong.
 */
export type FuseSizeVerdict = 'above-maximum' | 'below-minimum' | 'odd-size' | 'fits' | 'unknown';

/**
 * Size of a fitted fuse against the unit's nameplate.
 *
 * Input:   fittedAmps above 0 to 6000 A; mcaAmps, the minimum circuit ampacity, and mopAmps, the
 *          maximum overcurrent protection, of the nameplate, above 0 to 6000 A, or null where the
 *          nameplate cannot be read.
 * Output:  the verdict; too large comes before too small.
 * Source:  NEC 110.3(B): as the nameplate says (number from memory); sizes NEC 240.6(A).
 * Errors:  PhysicsRangeError PHYSICS_CURRENT_RANGE; PHYSICS_NOT_DEFINED for a nameplate whose
 *          minimum is above its maximum.
 */
export function judgeFuseSize(
  fittedAmps: number,
  mcaAmps: number | null,
  mopAmps: number | null,
): FuseSizeVerdict {
  const high = 6000;
  requireAboveZero(fittedAmps, high, 'fitted fuse in A', 'PHYSICS_CURRENT_RANGE');
  if (mcaAmps !== null) {
    requireAboveZero(mcaAmps, high, 'minimum circuit ampacity in A', 'PHYSICS_CURRENT_RANGE');
  }
  if (mopAmps !== null) {
    requireAboveZero(mopAmps, high, 'maximum protection in A', 'PHYSICS_CURRENT_RANGE');
  }
  if (mcaAmps !== null && mopAmps !== null && mcaAmps > mopAmps) {
    throw new PhysicsRangeError(
      'PHYSICS_NOT_DEFINED',
      `minimum circuit ampacity ${mcaAmps} A is above the maximum protection ${mopAmps} A; ` +
        'read the nameplate again',
    );
  }
  if (mopAmps !== null && fittedAmps > mopAmps) return 'above-maximum';
  if (mcaAmps !== null && fittedAmps < mcaAmps) return 'below-minimum';
  if (fittedAmps <= LARGEST_AMPS && !STANDARD_AMPS.includes(fittedAmps)) return 'odd-size';
  return mopAmps === null ? 'unknown' : 'fits';
}
