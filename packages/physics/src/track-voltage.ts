import { requireVolts } from './track.ts';

/** How the supply is tied to ground. */
export type GroundingSystem =
  | 'solid-wye'
  | 'corner-grounded-delta'
  | 'high-leg-delta'
  | 'ungrounded'
  | 'high-resistance';

export type PhaseName = 'a' | 'b' | 'c';

/**
 * The phase that differs from the others: the grounded one of a corner-grounded delta, the high leg
 * of a high-leg delta. Phase b by custom (NEC marks the high leg so).
 */
export const USUAL_ODD_PHASE: PhaseName = 'b';

/**
 * Voltage that drives a track from a phase to ground while nothing else is grounded.
 *
 * Input:   grounding; phase; lineVolts between phases, 0 to 1000 V; oddPhase, see
 *          `USUAL_ODD_PHASE`.
 * Output:  V.
 *          - solid-wye: line voltage over sqrt(3), on every phase;
 *          - corner-grounded-delta: 0 on the grounded phase, whose track is silent, the full line
 *            voltage on the others;
 *          - high-leg-delta: half the line voltage, on the high leg sqrt(3)/2 of it (120 and 208 V
 *            at 240 V);
 *          - ungrounded, high-resistance: line voltage over sqrt(3), as long as the phases are
 *            loaded to ground alike; see `lowestTrackVolts` and `highestTrackVolts`.
 * Source:  geometry of the phasors.
 * Errors:  PhysicsRangeError PHYSICS_VOLTAGE_RANGE.
 * Example: trackVolts('solid-wye', 'a', 480) // 277.1
 */
export function trackVolts(
  grounding: GroundingSystem,
  phase: PhaseName,
  lineVolts: number,
  oddPhase: PhaseName = USUAL_ODD_PHASE,
): number {
  requireVolts(lineVolts, 'line voltage in V');
  if (grounding === 'corner-grounded-delta') return phase === oddPhase ? 0 : lineVolts;
  if (grounding === 'high-leg-delta') {
    return phase === oddPhase ? (lineVolts * Math.sqrt(3)) / 2 : lineVolts / 2;
  }
  return lineVolts / Math.sqrt(3);
}

function neutralFloats(grounding: GroundingSystem): boolean {
  return grounding === 'ungrounded' || grounding === 'high-resistance';
}

/**
 * The lowest voltage that may drive a track from a phase to ground, whatever else is grounded on
 * the same transformer.
 *
 * Input:   as `trackVolts`.
 * Output:  V; on ungrounded and high-resistance systems 0, since a ground elsewhere on the same
 *          phase takes the voltage away.
 * Source:  geometry of the phasors.
 * Errors:  PhysicsRangeError PHYSICS_VOLTAGE_RANGE.
 */
export function lowestTrackVolts(
  grounding: GroundingSystem,
  phase: PhaseName,
  lineVolts: number,
  oddPhase: PhaseName = USUAL_ODD_PHASE,
): number {
  const volts = trackVolts(grounding, phase, lineVolts, oddPhase);
  return neutralFloats(grounding) ? 0 : volts;
}

/**
 * The highest voltage that may drive a track from a phase to ground, whatever else is grounded on
 * the same transformer.
 *
 * Input:   as `trackVolts`.
 * Output:  V; on ungrounded and high-resistance systems the full line voltage, since a ground
 *          elsewhere on another phase lifts this one. A ground that strikes again and again may
 *          lift it further for moments; that is not in here.
 * Source:  geometry of the phasors.
 * Errors:  PhysicsRangeError PHYSICS_VOLTAGE_RANGE.
 */
export function highestTrackVolts(
  grounding: GroundingSystem,
  phase: PhaseName,
  lineVolts: number,
  oddPhase: PhaseName = USUAL_ODD_PHASE,
): number {
  const volts = trackVolts(grounding, phase, lineVolts, oddPhase);
  return neutralFloats(grounding) ? lineVolts : volts;
}
