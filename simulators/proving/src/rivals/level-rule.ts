import type { LoadState, Signal } from './signals.ts';

/** How far a value is out: -1 in control, 0 routine, 1 urgent, 2 emergency. */
export type Level = -1 | 0 | 1 | 2;

/** A rival's own judgement of one signal of one unit; what happens with it is alike for all. */
export interface LevelRule {
  /** Takes one value, in order of event time, and tells where the signal stands. */
  level(atMs: number, state: LoadState, value: number): Level;
}

/** Values from which each level begins, ascending; Infinity: never. */
export interface Steps {
  readonly routine: number;
  readonly urgent: number;
  readonly emergency: number;
}

export function levelIn(steps: Steps, value: number): Level {
  if (value >= steps.emergency) return 2;
  if (value >= steps.urgent) return 1;
  return value >= steps.routine ? 0 : -1;
}

/** How one signal of a rival is judged; which fields there are depends on the rival. */
export interface SignalParameters {
  /** From which value (limits) or how many spreads (charts) on each step begins. */
  readonly routine: number;
  readonly urgent: number;
  /** How long a value must stay out before the step is taken, min. */
  readonly holdMinutes: number;
}

export interface RuleContext {
  readonly signal: Signal;
  /** The unit's own limit for an emergency; Infinity where the trade has none. */
  readonly emergencyLimit: number;
}

/** How far out a signal stands, in whatever unit the rival's steps are in; null: not known yet. */
export interface ScoreRule {
  score(atMs: number, state: LoadState, value: number): number | null;
}
