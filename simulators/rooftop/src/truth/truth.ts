/**
 * What a run of the world knows about itself: plain JSON, written beside the readings. It is the
 * yardstick of every score, so it states what happened and never what a watch should have said.
 */
import type { Phase } from '../world/scenario.ts';

/**
 * Which part of the unit a fault is in, seen from the contactors; water that gets in is in the
 * enclosure, whatever it then wets.
 */
export type FaultSide = 'line' | 'load' | 'supply' | 'node' | 'enclosure';

/** One fault of one unit. Times are ms of event time. */
export interface FaultTruth {
  /** The scenario's word for it. */
  readonly fault: string;
  readonly side: FaultSide;
  readonly phases: readonly Phase[];
  /** When it began to exist. */
  readonly onsetMs: number;
  /**
   * First sampled moment at which its own effect on a channel that the node sends exceeds that
   * sensor's floor and noise (the rule of each kind stands with the kind); null: never in this run.
   */
  readonly observableMs: number | null;
  /** Begin of each spell in which its effect was observable while the compartment was wet. */
  readonly observableWettingsMs: readonly number[];
  /** When it opened fuses, lost a phase, or stopped what it sits in; null: not in this run. */
  readonly failureMs: number | null;
  /**
   * First of two sampled moments in a row at which the loss can be told by what the node sends: a
   * load runs without a phase, or, for a lost supply, voltages are sent or the idle current that is
   * gone was above three floors of its sensor; null: never. Absent: this world does not say.
   */
  readonly tellableMs?: number | null;
  readonly fusesOpened: readonly Phase[];
  /** When a repair ended it; null: it lasted to the end of the run. */
  readonly endedMs: number | null;
}

export type WettingTruthSource = 'condensation' | 'water-ingress' | 'humid-weather';

/** One wetting of a compartment, as the water in it tells. */
export interface WettingTruth {
  readonly startMs: number;
  readonly peakMs: number;
  /** End of the run when it was still wet. */
  readonly endMs: number;
  readonly source: WettingTruthSource;
  /** Most water on plate and contactors, g/m2. */
  readonly peakFilmGramsPerSquareMetre: number;
}

/** Something that looks like a fault and is none. */
export interface LookAlikeTruth {
  readonly lookAlike: string;
  readonly fromMs: number;
  readonly toMs: number;
}

/** What somebody did, and what it truly changed. */
export interface VisitTruth {
  readonly atMs: number;
  readonly actions: readonly string[];
  /** Faults that ended with it, as indices into `faults`; empty for a visit that only swaps fuses. */
  readonly ended: readonly number[];
  /** Whether an opening for water was closed by it. */
  readonly sealed: boolean;
}

/** How uneven faults truly made the phase currents, against their running stage before. */
export interface UnbalanceTruth {
  /** Highest NEMA unbalance above the stage's that lasted for 15 minutes of running, per cent. */
  readonly heldMostPercent: number;
  /** When 10 % above it had first lasted for 15 minutes of running; null: never. */
  readonly urgentMs: number | null;
}

export interface UnitRunTruth {
  readonly site: string;
  readonly unit: string;
  readonly faults: readonly FaultTruth[];
  readonly wettings: readonly WettingTruth[];
  readonly lookAlikes: readonly LookAlikeTruth[];
  readonly visits: readonly VisitTruth[];
  /** Absent: this world does not say. */
  readonly unbalance?: UnbalanceTruth;
}

export interface RunTruth {
  readonly seed: number;
  readonly startMs: number;
  readonly endMs: number;
  readonly units: readonly UnitRunTruth[];
}
