import { PhysicsRangeError, requireWithin } from './physics-range-error.ts';

const LARGEST_MAGNITUDE = 1e6;
/** Current transformers err by 1 to 2 % each, which opens a flat triangle by about this share. */
const MOST_GAP_SHARE = 0.05;

/** Below 0 when the three magnitudes cannot be the sides of a triangle. */
function slackOf(first: number, second: number, third: number): number {
  return first + second + third - 2 * Math.max(first, second, third);
}

/**
 * Whether three magnitudes can belong to phasors that sum to zero, within what sensors err by.
 * Currents that cannot have a residual, or one of their sensors is wrong.
 *
 * Input:   three RMS magnitudes of one unit, 0 to 1e6.
 * Output:  true when no magnitude exceeds the sum of the others by more than 5 % of itself.
 * Source:  triangle inequality; 5 % is common practice, no source.
 * Errors:  PhysicsRangeError PHYSICS_MAGNITUDE_RANGE.
 */
export function magnitudesClose(first: number, second: number, third: number): boolean {
  requireWithin(first, 0, LARGEST_MAGNITUDE, 'first magnitude', 'PHYSICS_MAGNITUDE_RANGE');
  requireWithin(second, 0, LARGEST_MAGNITUDE, 'second magnitude', 'PHYSICS_MAGNITUDE_RANGE');
  requireWithin(third, 0, LARGEST_MAGNITUDE, 'third magnitude', 'PHYSICS_MAGNITUDE_RANGE');
  const largest = Math.max(first, second, third);
  return slackOf(first, second, third) >= -MOST_GAP_SHARE * largest;
}

/**
 * Unbalance as the ratio of negative to positive sequence, from three magnitudes alone.
 *
 * Input:   three RMS line-to-line voltages, or line currents that sum to zero, 0 to 1e6, not all
 *          zero. A triangle open by up to 5 % of its longest side counts as flat.
 * Output:  %, 0 to 100; independent of their order and of a common factor. 100 is a lost phase.
 * Source:  IEC 61000-4-30 clause 5.7 and CIGRE: sqrt((1 - sqrt(3 - 6 beta)) / (1 + sqrt(3 - 6
 *          beta))), beta the sum of fourth powers over the square of the sum of squares. Written
 *          here with the area of the triangle of the three phasors, which is the same number
 *          without the cancellation near balance. With a residual it is only approximate. It is
 *          not NEMA's unbalance.
 * Errors:  PhysicsRangeError PHYSICS_MAGNITUDE_RANGE; PHYSICS_NOT_DEFINED for three zeros and for
 *          magnitudes that cannot close, see `magnitudesClose`.
 * Example: negativeSequencePercent(460, 467, 450) // 2.1465
 */
export function negativeSequencePercent(first: number, second: number, third: number): number {
  if (!magnitudesClose(first, second, third)) {
    throw new PhysicsRangeError(
      'PHYSICS_NOT_DEFINED',
      `${first}, ${second} and ${third} cannot sum to zero as phasors, so their negative ` +
        'sequence is not defined; check for a residual or a wrong sensor',
    );
  }
  const largest = Math.max(first, second, third);
  if (largest === 0) {
    throw new PhysicsRangeError(
      'PHYSICS_NOT_DEFINED',
      'negative sequence of three zeros is not defined; check that the circuit is energised first',
    );
  }
  const a = first / largest;
  const b = second / largest;
  const c = third / largest;
  const squares = a * a + b * b + c * c;
  const sixteenAreasSquared = (a + b + c) * (b + c - a) * (a + c - b) * (a + b - c);
  const fourRootThreeAreas = Math.sqrt(3 * Math.max(0, sixteenAreasSquared));
  const ab = (a - b) * (a + b);
  const bc = (b - c) * (b + c);
  const ca = (c - a) * (c + a);
  const ratio = Math.sqrt(2 * (ab * ab + bc * bc + ca * ca)) / (squares + fourRootThreeAreas);
  return Math.min(100, 100 * ratio);
}
