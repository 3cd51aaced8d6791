import type { RunTruth } from '@lineside/rooftop';
import { type CauseScore, scoreCauses } from './cause-score.ts';
import { type ChatterScore, scoreChatter } from './chatter.ts';
import { type ClassScore, scoreClass } from './class-score.ts';
import { type EpisodeScore, scoreEpisodes } from './episode-score.ts';
import { type FalseAlarmScore, scoreFalseAlarms } from './false-alarms.ts';
import { FAULT_CLASSES, type FaultClass } from './fault-classes.ts';
import { type LossScore, scoreFusesGone, scorePhaseLoss } from './loss-score.ts';
import { type ObservedUnit, observedUnits, type UnitFindings } from './observed-unit.ts';

/** How well a judge did, against the truth. The matching rules stand in MATCHING.md. */
export interface Score {
  readonly classes: Readonly<Record<FaultClass, ClassScore>>;
  readonly falseAlarms: FalseAlarmScore;
  readonly chatter: ChatterScore;
  readonly episodes: EpisodeScore;
  readonly phaseLoss: LossScore;
  readonly fusesGone: LossScore;
  readonly causes: CauseScore;
}

/** Scores what a judge said about the units of one run. @throws RangeError as `observedUnits`. */
export function scoreRun(run: RunTruth, findings: readonly UnitFindings[]): Score {
  return scoreUnits(observedUnits(run, findings));
}

/**
 * Scores units of any number of runs together.
 *
 * @throws RangeError when a fault has no class (see `classOf`).
 */
export function scoreUnits(units: readonly ObservedUnit[]): Score {
  const classes = FAULT_CLASSES.map((name) => [name, scoreClass(name, units)] as const);
  return {
    classes: Object.fromEntries(classes) as Record<FaultClass, ClassScore>,
    falseAlarms: scoreFalseAlarms(units),
    chatter: scoreChatter(units),
    episodes: scoreEpisodes(units),
    phaseLoss: scorePhaseLoss(units),
    fusesGone: scoreFusesGone(units),
    causes: scoreCauses(units),
  };
}
