import { requireWithin } from './physics-range-error.ts';

/** Classes of low-voltage fuses that stand in disconnects of rooftop units. */
export const FUSE_CLASSES = ['CC', 'J', 'L', 'RK1', 'RK5', 'T'] as const;
export type FuseClass = (typeof FUSE_CLASSES)[number];

export interface FuseClassFacts {
  /** Part of UL 248 that describes it. */
  readonly standard: string;
  /** Largest rating, A; null where no source was at hand. */
  readonly mostAmps: number | null;
  /** Voltages it is made for, V. */
  readonly volts: readonly number[] | null;
  /** Interrupting rating, kA. */
  readonly interruptingKiloamps: number | null;
  /** What a time-delay fuse of this class must hold at least. */
  readonly timeDelay: { readonly ratedPercent: number; readonly seconds: number } | null;
}

/**
 * Facts of the classes. Source: UL 248 parts 4, 8, 10, 12, 15 as transcribed by open sources;
 * time delay of J and R from memory (R up to 30 A and 250 V: 8 s). A null is a value that no source at hand states.
 */
export const FUSE_CLASS_FACTS: Readonly<Record<FuseClass, FuseClassFacts>> = {
  CC: {
    standard: 'UL 248-4',
    mostAmps: 30,
    volts: [600],
    interruptingKiloamps: 200,
    timeDelay: { ratedPercent: 200, seconds: 12 },
  },
  J: {
    standard: 'UL 248-8',
    mostAmps: null,
    volts: null,
    interruptingKiloamps: null,
    timeDelay: { ratedPercent: 500, seconds: 10 },
  },
  L: {
    standard: 'UL 248-10',
    mostAmps: null,
    volts: null,
    interruptingKiloamps: null,
    timeDelay: null,
  },
  RK1: {
    standard: 'UL 248-12',
    mostAmps: 600,
    volts: [250, 600],
    interruptingKiloamps: 200,
    timeDelay: { ratedPercent: 500, seconds: 10 },
  },
  RK5: {
    standard: 'UL 248-12',
    mostAmps: 600,
    volts: [250, 600],
    interruptingKiloamps: 200,
    timeDelay: { ratedPercent: 500, seconds: 10 },
  },
  T: {
    standard: 'UL 248-15',
    mostAmps: null,
    volts: null,
    interruptingKiloamps: null,
    timeDelay: null,
  },
};

/**
 * Whether a fuse may stand in for one of another class:
 * - `same`;
 * - `better`: fits and lets less energy through;
 * - `worse`: fits and lets more energy through than the equipment was tested with;
 * - `other-shape`: does not fit its clips.
 */
export type FuseSubstitution = 'same' | 'better' | 'worse' | 'other-shape';

/**
 * Whether a fuse of another class may stand in for the one that a nameplate asks for.
 *
 * Input:   the class asked for and the class at hand.
 * Output:  the verdict.
 * Source:  UL 248-12: RK1 and RK5 share the clips of class R, and RK1 lets less current and energy
 *          through. That the other classes do not fit each other's clips is common practice, no
 *          source.
 * Errors:  none.
 */
export function fuseSubstitution(asked: FuseClass, atHand: FuseClass): FuseSubstitution {
  if (asked === atHand) return 'same';
  if (asked === 'RK5' && atHand === 'RK1') return 'better';
  if (asked === 'RK1' && atHand === 'RK5') return 'worse';
  return 'other-shape';
}

/**
 * Heat that a current leaves in each ohm of a fuse or a wire, the measure by which fuses are
 * compared.
 *
 * Input:   rmsAmps 0 to 1e6 A; seconds 0 to 1e5 s.
 * Output:  A2 s.
 * Source:  definition, the integral of the squared current over time.
 * Errors:  PhysicsRangeError PHYSICS_CURRENT_RANGE, PHYSICS_DURATION_RANGE.
 * Example: letThroughAmpsSquaredSeconds(100, 0.1) // 1000
 */
export function letThroughAmpsSquaredSeconds(rmsAmps: number, seconds: number): number {
  requireWithin(rmsAmps, 0, 1e6, 'RMS current in A', 'PHYSICS_CURRENT_RANGE');
  requireWithin(seconds, 0, 1e5, 'time in s', 'PHYSICS_DURATION_RANGE');
  return rmsAmps * rmsAmps * seconds;
}
