import type { OperatingSlice } from './operating-state.ts';
import { isKnownPairLoad, middleAmpsOf, type PairLoad } from './pair-load.ts';
import type { DetectorParameters } from './parameters.ts';
import { LOST, type LostPhase, type PhaseVerdict } from './phase-loss-verdict.ts';
import { lowestPhase, type ThreePhases } from './sample.ts';
import { type UnevenStages, unevenStage, usualAmpsOf } from './unbalance-stages.ts';

/** Below this share of the smaller of the other two, a phase carries nothing. */
const LOST_SHARE = 0.15;
/** The other two must carry at least this share of the smallest three-phase stage. */
const CARRYING_SHARE_OF_SEEN = 0.7;
const CARRYING_SHARE_OF_FLA = 0.5;
/** Three-phase running that is longer ago does not vouch for the load of today. */
const THREE_PHASE_MEMORY_MS = 604_800_000;
/** The load before is the load of now when it was seen this recently. */
const BEFORE_MS = 600_000;
/** The other two carry on as before: neither 1.73 of a motor nor 0.87 of a heater. */
const CARRIES_ON_LEAST = 0.93;
const CARRIES_ON_MOST = 1.1;
/** The same stage of load as one that was learned, on another day. */
const SAME_STAGE = 0.08;
const SEEN_STAGE_READINGS = 3;
const SINGLE_PHASING: number = Math.sqrt(3);
const SINGLE_PHASING_ERROR = 0.12;
/** One phase carries about twice each of the others: 230 and 115 %. Common practice. */
const DOUBLE_LEAST = 1.6;
const DOUBLE_MOST = 2.5;
const PAIR_SHARE = 0.85;
/** An outlet on that phase would leave the other two as they were. */
const PAIR_ROSE = 1.07;
const PAIR_ROSE_MOST = 1.5;
/** 115 % on two phases, with an error for the weather. */
const PAIR_ROSE_MOST_OF_A_STAGE = 1.3;
/** From a fan to a compressor it grows by more. */
const GREW_WITH_LOAD = 2;
/** The reading before, at the slower cadence. */
const READING_BEFORE_MS = 150_000;
/** All phases of the stage by the same share, within this. */
const ROSE_ALIKE = 0.04;
/** An outlet that drew as much before would show that: a quarter of it is no outlet's. */
const OUTLET_SHARE_OF_EXTRA = 0.25;
/** No outlet's breaker carries as much as this, A. Common practice, no source. */
const MOST_OUTLET_AMPS = 16;
const OUTLET_AT_REST_AMPS = 1.2;

const PHASES = ['a', 'b', 'c'] as const;

/** What is known of the unit while these currents flow. */
export interface PhaseContext {
  readonly operating: OperatingSlice;
  readonly parameters: DetectorParameters;
  readonly stages: UnevenStages;
  /** The phase whose sensor fell silent while the load carried on. */
  readonly silentSensor: 'a' | 'b' | 'c' | null;
  /** What the phases carried at rest a few minutes ago at most, A; null: not seen. */
  readonly restAmps: number | null;
  readonly pairLoad: PairLoad;
  /** `extraAmpsOf` at the running reading before. */
  readonly extraBeforeAmps: number | null;
  /** The phase that an earlier reading of this run showed lost, and that waits for a second one. */
  readonly waiting: 'a' | 'b' | 'c' | null;
}

/** `sensor`: the phase reads nothing and the other two carry on, so that its sensor failed. */
export type CurrentVerdict = PhaseVerdict | 'sensor';

/** What the phase currents of a running unit say of its phases. */
export function phasesByCurrent(
  currents: ThreePhases,
  atMs: number,
  context: PhaseContext,
): CurrentVerdict {
  const { operating, parameters, silentSensor } = context;
  const middle = middleAmpsOf(currents);
  if (currents.smallest >= LOST_SHARE * middle) {
    const half = halfSupplied(currents, middle, atMs, context);
    if (half !== null) return half;
    return operating.threePhaseAtMs === atMs ? 'well' : null;
  }
  if (middle < parameters.runningAmps) return null;
  const phase = lowestPhase(currents);
  // A protector has tripped one load since; what runs on without that phase tells as much.
  const goesOn = phase === context.waiting;
  if (!goesOn && !loadIsThreePhase(middle, atMs, operating, parameters)) return null;
  if (isKnownPairLoad(context.pairLoad, phase, middle)) return null;
  if (phase === silentSensor) return 'sensor';
  return othersCarryOn(phase, currents, atMs, context) ? 'sensor' : LOST.direct[phase];
}

function loadIsThreePhase(
  middleAmps: number,
  atMs: number,
  operating: OperatingSlice,
  parameters: DetectorParameters,
): boolean {
  const { threePhaseAtMs, threePhaseLowestAmps } = operating;
  const seen = threePhaseAtMs !== null && atMs - threePhaseAtMs <= THREE_PHASE_MEMORY_MS;
  if (seen && threePhaseLowestAmps !== null) {
    return middleAmps >= CARRYING_SHARE_OF_SEEN * threePhaseLowestAmps;
  }
  const { allThreePole, smallestThreePoleAmps } = parameters;
  return (
    allThreePole &&
    smallestThreePoleAmps !== null &&
    middleAmps >= CARRYING_SHARE_OF_FLA * smallestThreePoleAmps
  );
}

/**
 * True when the other two carry what they carried before, or, at a start, what a stage of this unit
 * is known to draw on three phases, and no stage would draw that on two.
 */
function othersCarryOn(
  phase: 'a' | 'b' | 'c',
  currents: ThreePhases,
  atMs: number,
  { operating, stages }: PhaseContext,
): boolean {
  const { threePhaseAtMs, threePhaseAmpsA, threePhaseAmpsB, threePhaseAmpsC } = operating;
  const before = { a: threePhaseAmpsA, b: threePhaseAmpsB, c: threePhaseAmpsC };
  const sinceMs = operating.sinceMs ?? atMs;
  const sameRun = threePhaseAtMs !== null && threePhaseAtMs >= sinceMs;
  if (sameRun && threePhaseAtMs !== null && atMs - threePhaseAtMs <= BEFORE_MS) {
    const carries = PHASES.every((other) => {
      const change = before[other] > 0 ? currents[other] / before[other] : 0;
      return other === phase || (change >= CARRIES_ON_LEAST && change <= CARRIES_ON_MOST);
    });
    if (carries) return true;
  }
  const amps = (currents.a + currents.b + currents.c - currents.smallest) / 2;
  return (
    drawnByStage(stages, amps, 1, SAME_STAGE) &&
    !drawnByStage(stages, amps, SINGLE_PHASING, SINGLE_PHASING_ERROR)
  );
}

function drawnByStage(
  stages: UnevenStages,
  amps: number,
  factor: number,
  errorShare: number,
): boolean {
  return stages.some(
    (stage) =>
      stage !== null &&
      stage[0] >= SEEN_STAGE_READINGS &&
      Math.abs(amps / (factor * stage[3]) - 1) <= errorShare,
  );
}

/** What one phase has above the mean of the other two, A; null where that is not about as much. */
export function extraAmpsOf({ a, b, c, largest }: ThreePhases): number | null {
  const pair = (a + b + c - largest) / 2;
  return largest >= DOUBLE_LEAST * pair ? largest - pair : null;
}

/** A phase lost ahead of a delta-wye transformer: one phase double, the others alike and up. */
function halfSupplied(
  currents: ThreePhases,
  middle: number,
  atMs: number,
  context: PhaseContext,
): LostPhase | null {
  const { operating, parameters, stages, restAmps, pairLoad, waiting } = context;
  const { largest, smallest } = currents;
  const pair = (middle + smallest) / 2;
  const ratio = largest / pair;
  if (ratio < DOUBLE_LEAST || ratio > DOUBLE_MOST || smallest < PAIR_SHARE * middle) return null;
  if (pair < parameters.runningAmps) return null;
  const phase = currents.a === largest ? 'a' : currents.b === largest ? 'b' : 'c';
  // An outlet beside the fan that draws on the other two.
  if (isKnownPairLoad(pairLoad, phase, pair)) return null;
  // The reading before told it from an outlet; a load that has tripped since lowers all three.
  const seen =
    waiting === phase ||
    largest - pair > MOST_OUTLET_AMPS ||
    pairRose(phase, currents, pair, atMs, operating) ||
    isStageHalfSupplied(phase, currents, largest - pair, atMs, context) ||
    (restAmps !== null &&
      restAmps < OUTLET_AT_REST_AMPS &&
      !drawnByStage(stages, pair, 1, PAIR_ROSE - 1));
  return seen ? LOST.transformer[phase] : null;
}

/**
 * True when each phase draws what a learned stage would behind a transformer that lost a phase: one
 * doubled, and all more than usual by the same share. For a load that was switched off or on by the
 * same event, so that the minute before tells nothing of this stage; but it tells of an outlet,
 * which adds its amps to one phase whatever else runs.
 */
function isStageHalfSupplied(
  phase: 'a' | 'b' | 'c',
  currents: ThreePhases,
  extraAmps: number,
  atMs: number,
  { operating, stages, extraBeforeAmps }: PhaseContext,
): boolean {
  const stageBefore = evenStageBefore(phase, extraAmps, atMs, operating, stages);
  // No outlet draws more because another load comes on.
  const grew = extraBeforeAmps !== null && extraAmps >= GREW_WITH_LOAD * extraBeforeAmps;
  if (stageBefore === null && !grew) return false;
  return stages.some((stage) => {
    // Of the same load the minute before would tell by itself.
    if (stage === null || stage === stageBefore || stage[0] < SEEN_STAGE_READINGS) return false;
    const usual = usualAmpsOf(stage);
    const others = PHASES.filter((one) => one !== phase).map((one) => currents[one] / usual[one]);
    const pairRoseBy = others.reduce((sum, rose) => sum + rose, 0) / others.length;
    return (
      pairRoseBy >= PAIR_ROSE &&
      pairRoseBy <= PAIR_ROSE_MOST_OF_A_STAGE &&
      [currents[phase] / usual[phase] / 2, ...others].every(
        (rose) => Math.abs(rose / pairRoseBy - 1) <= ROSE_ALIKE,
      )
    );
  });
}

/**
 * The stage that ran on three phases at the reading before, without an outlet's amps on this phase;
 * else null.
 */
function evenStageBefore(
  phase: 'a' | 'b' | 'c',
  extraAmps: number,
  atMs: number,
  { threePhaseAtMs, threePhaseAmpsA, threePhaseAmpsB, threePhaseAmpsC }: OperatingSlice,
  stages: UnevenStages,
): UnevenStages[number] {
  if (threePhaseAtMs === null || atMs - threePhaseAtMs > READING_BEFORE_MS) return null;
  const before = { a: threePhaseAmpsA, b: threePhaseAmpsB, c: threePhaseAmpsC };
  const stage = stages[unevenStage(stages, before)] ?? null;
  if (stage === null) return null;
  const usual = usualAmpsOf(stage);
  const others = PHASES.filter((one) => one !== phase);
  const load = others.reduce((sum, one) => sum + before[one] / usual[one], 0) / others.length;
  const isEven = before[phase] - load * usual[phase] < OUTLET_SHARE_OF_EXTRA * extraAmps;
  return isEven ? stage : null;
}

function pairRose(
  phase: 'a' | 'b' | 'c',
  currents: ThreePhases,
  pair: number,
  atMs: number,
  operating: OperatingSlice,
): boolean {
  const { threePhaseAtMs, threePhaseAmpsA, threePhaseAmpsB, threePhaseAmpsC, sinceMs } = operating;
  if (threePhaseAtMs === null || atMs - threePhaseAtMs > BEFORE_MS) return false;
  if (threePhaseAtMs < (sinceMs ?? atMs)) return false;
  const before = { a: threePhaseAmpsA, b: threePhaseAmpsB, c: threePhaseAmpsC };
  const pairBefore = (before.a + before.b + before.c - before[phase]) / 2;
  const rose = pair / pairBefore;
  const doubled = currents[phase] / before[phase];
  return rose >= PAIR_ROSE && rose <= PAIR_ROSE_MOST && doubled >= DOUBLE_LEAST * PAIR_ROSE;
}
