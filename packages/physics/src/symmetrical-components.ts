import { magnitudeOf, type Phasor, requirePhasor } from './phasor.ts';
import { PhysicsRangeError } from './physics-range-error.ts';

/** The three systems that any three phasors are the sum of, as seen on phase a. */
export interface SymmetricalComponents {
  /** A third of the residual. */
  readonly zero: Phasor;
  readonly positive: Phasor;
  readonly negative: Phasor;
}

/** Phasors of the phases a, b and c, which follow each other by -120 degrees when balanced. */
export interface PhasePhasors {
  readonly a: Phasor;
  readonly b: Phasor;
  readonly c: Phasor;
}

const HALF_ROOT_THREE: number = Math.sqrt(3) / 2;

function sum(first: Phasor, second: Phasor, third: Phasor, scale: number): Phasor {
  return {
    real: scale * (first.real + second.real + third.real),
    imaginary: scale * (first.imaginary + second.imaginary + third.imaginary),
  };
}

/** Turned by 120 degrees forward (`sense` 1) or back (`sense` -1). */
function turned({ real, imaginary }: Phasor, sense: 1 | -1): Phasor {
  const sine = sense * HALF_ROOT_THREE;
  return { real: -0.5 * real - sine * imaginary, imaginary: -0.5 * imaginary + sine * real };
}

/**
 * Symmetrical components of three phasors.
 *
 * Input:   phasors of the phases a, b, c with parts of -1e6 to 1e6, of one unit.
 * Output:  zero, positive and negative sequence of phase a in that unit; three times the zero
 *          sequence is the residual, so a sum to ground.
 * Source:  Fortescue 1918, as in any textbook: I0 = (Ia + Ib + Ic) / 3, I1 = (Ia + a Ib + a2 Ic)
 *          / 3, I2 = (Ia + a2 Ib + a Ic) / 3, a = 1 at 120 degrees.
 * Errors:  PhysicsRangeError PHYSICS_MAGNITUDE_RANGE.
 */
export function symmetricalComponents({ a, b, c }: PhasePhasors): SymmetricalComponents {
  requirePhasor(a, 'phase a');
  requirePhasor(b, 'phase b');
  requirePhasor(c, 'phase c');
  return {
    zero: sum(a, b, c, 1 / 3),
    positive: sum(a, turned(b, 1), turned(c, -1), 1 / 3),
    negative: sum(a, turned(b, -1), turned(c, 1), 1 / 3),
  };
}

/**
 * The three phasors that have these symmetrical components: the inverse of
 * `symmetricalComponents`.
 *
 * Input:   components with parts of -1e6 to 1e6, of one unit.
 * Output:  phasors of the phases a, b, c in that unit.
 * Source:  Fortescue 1918.
 * Errors:  PhysicsRangeError PHYSICS_MAGNITUDE_RANGE.
 */
export function recomposedPhasors(components: SymmetricalComponents): PhasePhasors {
  const { zero, positive, negative } = components;
  requirePhasor(zero, 'zero sequence');
  requirePhasor(positive, 'positive sequence');
  requirePhasor(negative, 'negative sequence');
  return {
    a: sum(zero, positive, negative, 1),
    b: sum(zero, turned(positive, -1), turned(negative, 1), 1),
    c: sum(zero, turned(positive, 1), turned(negative, -1), 1),
  };
}

/**
 * True unbalance of components: the magnitude of the negative over that of the positive sequence.
 *
 * Input:   components with parts of -1e6 to 1e6, positive sequence not zero.
 * Output:  %, at least 0; above 100 when the phases run backwards.
 * Source:  IEC 61000-4-30, unbalance.
 * Errors:  PhysicsRangeError PHYSICS_MAGNITUDE_RANGE; PHYSICS_NOT_DEFINED without a positive
 *          sequence.
 */
export function sequenceUnbalancePercent(components: SymmetricalComponents): number {
  const positive = magnitudeOf(components.positive);
  const percent = (100 * magnitudeOf(components.negative)) / positive;
  if (!Number.isFinite(percent)) {
    throw new PhysicsRangeError(
      'PHYSICS_NOT_DEFINED',
      'unbalance without a positive sequence is not defined; check the order of the phases',
    );
  }
  return percent;
}
