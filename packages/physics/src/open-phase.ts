import { requireWithin } from './physics-range-error.ts';

const LARGEST_AMPS = 1e5;

/**
 * Where the phase is lost:
 * - `line`: in the supply of the motor itself, as an open fuse or a burnt terminal;
 * - `transformer-primary`: before a delta-wye transformer that feeds it, as a lost utility phase.
 */
export type OpenPhasePlace = 'line' | 'transformer-primary';

/** Currents of a motor that lost a phase; which of the three letters is which is not known. */
export interface OpenPhaseAmps {
  readonly low: number;
  readonly middle: number;
  readonly high: number;
}

/** The two live lines carry the whole power: U I' = sqrt(3) U I. */
const LINE_FACTOR: number = Math.sqrt(3);
/** 200 % of the balanced current in the primary's two live lines, seen through the transformer. */
const TRANSFORMER_FACTOR: number = 2 / Math.sqrt(3);

/**
 * Line currents of a motor that keeps turning its load with a phase lost.
 *
 * Input:    balancedAmps before the loss, 0 to 100 000 A.
 * Output:   A, lowest first. In the line: 0, 1.73 and 1.73 times; before a delta-wye transformer:
 *           1.15, 1.15 and 2.31 times, so no zero.
 * Source:   in the line, P = U I of two lines equals sqrt(3) U I of three (losses and power factor
 *           kept). Behind the transformer, positive and negative sequence of one size are shifted
 *           apart by 60 degrees, which gives 1 : 1 : 2; the scale 115/115/230 % is what the trade
 *           quotes (from memory), and stands for twice the balanced current on the primary side.
 * Accuracy: 20 %, real motors draw 1.7 to 2 times (from memory), and a protector trips soon.
 * Errors:   PhysicsRangeError PHYSICS_CURRENT_RANGE.
 */
export function openPhaseAmps(place: OpenPhasePlace, balancedAmps: number): OpenPhaseAmps {
  requireWithin(balancedAmps, 0, LARGEST_AMPS, 'balanced current in A', 'PHYSICS_CURRENT_RANGE');
  if (place === 'line') {
    return { low: 0, middle: LINE_FACTOR * balancedAmps, high: LINE_FACTOR * balancedAmps };
  }
  return {
    low: TRANSFORMER_FACTOR * balancedAmps,
    middle: TRANSFORMER_FACTOR * balancedAmps,
    high: 2 * TRANSFORMER_FACTOR * balancedAmps,
  };
}

/**
 * Currents in the windings of a delta-connected motor with one line open.
 *
 * Input:   liveLineAmps in the two lines that are left, 0 to 100 000 A.
 * Output:  A, lowest first: two windings in series carry a third, the one across the live lines
 *          two thirds. At 1.73 times the balanced line current that is 100, 100 and 200 % of what
 *          a winding usually carries.
 * Source:  current divider of three equal impedances.
 * Errors:  PhysicsRangeError PHYSICS_CURRENT_RANGE.
 */
export function openLineDeltaWindingAmps(liveLineAmps: number): OpenPhaseAmps {
  requireWithin(liveLineAmps, 0, LARGEST_AMPS, 'current of live lines', 'PHYSICS_CURRENT_RANGE');
  return { low: liveLineAmps / 3, middle: liveLineAmps / 3, high: (2 * liveLineAmps) / 3 };
}
