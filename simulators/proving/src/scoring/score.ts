import type { RunTruth } from '@lineside/rooftop';
import { type CauseScore, scoreCauses } from './cause-score.ts';
import { type ChatterScore, scoreChatter } from './chatter.ts';
import { type ClassScore, scoreClass } from './class-score.ts';
import { type EpisodeScore, scoreEpisodes } from './episode-score.ts';
import { type FalseAlarmScore, scoreFalseAlarms } from './false-alarms.ts';
import { FAULT_CLASSES, type FaultClass } from './fault-classes.ts';
import { type LossScore, scoreFusesGone, scorePhaseLoss } from './loss-score.ts';
import { type ObservedUnit, observedUnits, type UnitFindings } from './observed-unit.ts';
import { type SideScore, scoreSides } from './side-score.ts';
import {
  scoreTellableFuses,
  scoreTellablePhaseLoss,
  type TellableLossScore,
} from './tellable-loss.ts';
import { scoreTracks, type TrackScore } from './track-score.ts';
import { scoreUnbalance, type UnbalanceScore } from './unbalance-score.ts';

/** How well a judge did, against the truth. The matching rules stand in MATCHING.md. */
export interface Score {
  readonly classes: Readonly<Record<FaultClass, ClassScore>>;
  readonly falseAlarms: FalseAlarmScore;
  readonly chatter: ChatterScore;
  readonly episodes: EpisodeScore;
  readonly phaseLoss: LossScore;
  readonly fusesGone: LossScore;
  readonly causes: CauseScore;
  readonly tracks: TrackScore;
  readonly sides: SideScore;
  readonly tellablePhaseLoss: TellableLossScore;
  readonly tellableFuses: TellableLossScore;
  readonly unbalance: UnbalanceScore;
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
  const scored = FAULT_CLASSES.map((name) => [name, scoreClass(name, units)] as const);
  const classes = Object.fromEntries(scored) as Record<FaultClass, ClassScore>;
  return {
    classes,
    falseAlarms: scoreFalseAlarms(units),
    chatter: scoreChatter(units),
    episodes: scoreEpisodes(units),
    phaseLoss: scorePhaseLoss(units),
    fusesGone: scoreFusesGone(units),
    causes: scoreCauses(units),
    tracks: scoreTracks(units),
    sides: scoreSides(classes),
    tellablePhaseLoss: scoreTellablePhaseLoss(units),
    tellableFuses: scoreTellableFuses(units),
    unbalance: scoreUnbalance(units),
  };
}
