import { requireWithin } from './physics-range-error.ts';
import { requireOhms, requireVolts } from './track.ts';
import { type GroundingSystem, type PhaseName, USUAL_ODD_PHASE } from './track-voltage.ts';

/**
 * What a residual tells of the resistance to ground, and what it does not.
 *
 * It sums over the phases. On a solidly grounded wye an equal film on three poles cancels, so a low
 * residual never means dry: the residual only bounds the resistance of the worst track from above,
 * and says nothing of the others. Tracks from pole to pole are not in it at all. On ungrounded and
 * high-resistance systems the unit's own capacitance takes part as soon as the neutral moves, so
 * that the residual alone bounds nothing.
 */

/** Systems whose ground is tied down hard, so that each track has its own known voltage. */
export type TiedGroundingSystem = Exclude<GroundingSystem, 'ungrounded' | 'high-resistance'>;

const SMALLEST_MILLIAMPS = 1e-9;
const LARGEST_MILLIAMPS = 1e6;

/**
 * What a residual sensor reads of tracks from the three phases to ground, capacitance balanced.
 *
 * Input:   grounding, tied down; the tracks' resistances 1 to 1e15 ohm, which is as good as none;
 *          lineVolts 0 to 1000 V; oddPhase, the grounded or the high one.
 * Output:  mA. Equal tracks on a solid wye give 0.
 * Source:  Ohm's law on each phase, summed as phasors: 120 degrees apart on a wye; 60 degrees apart
 *          for the two live phases of a corner-grounded delta; on a high-leg delta two opposed and
 *          the high leg at a right angle to them.
 * Errors:  PhysicsRangeError PHYSICS_RESISTANCE_RANGE, PHYSICS_VOLTAGE_RANGE.
 */
export function residualOfTracksMilliamps(
  grounding: TiedGroundingSystem,
  ohmsA: number,
  ohmsB: number,
  ohmsC: number,
  lineVolts: number,
  oddPhase: PhaseName = USUAL_ODD_PHASE,
): number {
  requireOhms(ohmsA, 'resistance of phase a in ohm');
  requireOhms(ohmsB, 'resistance of phase b in ohm');
  requireOhms(ohmsC, 'resistance of phase c in ohm');
  requireVolts(lineVolts, 'line voltage in V');
  const milliamps = 1000 * lineVolts;
  const odd = milliamps / (oddPhase === 'a' ? ohmsA : oddPhase === 'b' ? ohmsB : ohmsC);
  const one = milliamps / (oddPhase === 'a' ? ohmsB : ohmsA);
  const other = milliamps / (oddPhase === 'c' ? ohmsB : ohmsC);
  const apart = one - other;
  if (grounding === 'corner-grounded-delta') return Math.sqrt(apart * apart + 3 * one * other);
  if (grounding === 'high-leg-delta') return Math.sqrt((apart * apart + 3 * odd * odd) / 4);
  const oddApart = (odd - one) * (odd - other);
  return Math.sqrt(Math.max(0, apart * apart + oddApart) / 3);
}

/**
 * Upper bound of the resistance to ground of the worst track: at least one phase is no better.
 *
 * Input:   grounding; residualMilliamps 1e-9 to 1e6 mA, resistive (what is capacitive taken out);
 *          lineVolts 0 to 1000 V.
 * Output:  ohm; null on ungrounded and high-resistance systems, where a residual bounds nothing.
 *          There is no lower bound on any system: equal films hide any resistance.
 * Source:  the largest residual that tracks of at least a resistance can make together: line voltage
 *          over sqrt(3) on a wye, sqrt(3) times the line voltage on a corner-grounded delta, the
 *          line voltage on a high-leg delta, each over that resistance.
 * Errors:  PhysicsRangeError PHYSICS_CURRENT_RANGE, PHYSICS_VOLTAGE_RANGE.
 * Example: worstTrackAtMostOhms('solid-wye', 10, 480) // 27 713
 */
export function worstTrackAtMostOhms(
  grounding: GroundingSystem,
  residualMilliamps: number,
  lineVolts: number,
): number | null {
  requireWithin(
    residualMilliamps,
    SMALLEST_MILLIAMPS,
    LARGEST_MILLIAMPS,
    'residual in mA',
    'PHYSICS_CURRENT_RANGE',
  );
  requireVolts(lineVolts, 'line voltage in V');
  const ohmsAtLineVolts = (1000 * lineVolts) / residualMilliamps;
  switch (grounding) {
    case 'solid-wye':
      return ohmsAtLineVolts / Math.sqrt(3);
    case 'corner-grounded-delta':
      return ohmsAtLineVolts * Math.sqrt(3);
    case 'high-leg-delta':
      return ohmsAtLineVolts;
    default:
      return null;
  }
}

/** What ties the neutral of a system that is not solidly grounded. */
export type NeutralReturn = 'resistor' | 'capacitance';

/**
 * Current of one track on a system whose only return is a neutral resistor or the capacitance of
 * the whole system to ground.
 *
 * Input:   ohms of the track 1 to 1e15; phaseVolts to neutral 0 to 1000 V; returnOhms 0 to 1e15 of
 *          the resistor, or the reactance of all three capacitances in parallel; what it is.
 * Output:  mA. A track of far more than returnOhms leaks as on a solid wye; a dead short is limited
 *          to phaseVolts over returnOhms, which opens no fuse.
 * Source:  series circuit, Thevenin source at the track. The two add at a right angle when the
 *          return is a capacitance.
 * Errors:  PhysicsRangeError PHYSICS_RESISTANCE_RANGE, PHYSICS_VOLTAGE_RANGE.
 */
export function limitedTrackMilliamps(
  ohms: number,
  phaseVolts: number,
  returnOhms: number,
  through: NeutralReturn,
): number {
  requireOhms(ohms, 'resistance of the track in ohm');
  requireVolts(phaseVolts, 'voltage to neutral in V');
  requireWithin(returnOhms, 0, 1e15, 'return path in ohm', 'PHYSICS_RESISTANCE_RANGE');
  const impedance =
    through === 'resistor' ? ohms + returnOhms : Math.sqrt(ohms * ohms + returnOhms * returnOhms);
  return (1000 * phaseVolts) / impedance;
}
