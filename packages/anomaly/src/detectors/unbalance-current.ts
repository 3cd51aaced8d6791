import { unbalancePercent } from '@lineside/physics';
import {
  type FieldGuards,
  hasShape,
  isListOf,
  isNullOr,
  isNumber,
  isNumberOrNull,
} from '../field-guards.ts';
import type { Priority } from '../vocabulary.ts';
import { type DwellMs, hasDwelt, nextDwell } from './dwell.ts';
import type { OperatingSlice } from './operating-state.ts';
import type { DetectorParameters } from './parameters.ts';
import type { ThreePhases } from './sample.ts';
import { ampsOf, isAddedLoad, isKnownLoad, isOneHigh, withoutLoad } from './unbalance-added.ts';
import { excessNow } from './unbalance-excess.ts';
import { type FollowedLoads, followLoads, supposeLoads } from './unbalance-loads.ts';
import {
  areUnevenStages,
  type Excess,
  isLearned,
  learnUneven,
  NO_UNEVEN_STAGES,
  risenPercent,
  type UnevenStage,
  type UnevenStages,
  unevenStage,
} from './unbalance-stages.ts';

/**
 * Unbalance of the phase currents while running, against what each stage of this unit normally has
 * (`unbalance-stages.ts`), after the loads that were added to single phases are taken off
 * (`unbalance-added.ts`). In points of the mean, as NEMA MG 1 counts.
 *
 * Time over a limit counts while a like load runs; another stage, or a rest, neither helps nor
 * harms. Before a stage is learned, absolute limits hold where the nameplate says that every load
 * has three poles, with an allowance for the two-pole loads that it names; without a nameplate
 * nothing is said of that stage before.
 */
export interface CurrentUnbalance extends FollowedLoads {
  readonly atMs: number | null;
  /** Unbalance as measured, what is usual included. */
  readonly percent: number | null;
  readonly time: TimeOver;
  readonly stages: UnevenStages;
}

/** How long the limits have been passed. */
interface TimeOver {
  readonly overRoutineMs: DwellMs;
  readonly overUrgentMs: DwellMs;
  readonly calmMs: DwellMs;
  /** The mean of the load that was last seen unbalanced, A, and when. */
  readonly overAmps: number | null;
  readonly overAtMs: number | null;
  /** Bit n: stage n was seen over the routine limit, or calm, since this began. */
  readonly overStages: number;
  readonly calmStages: number;
}

type Phases = Pick<ThreePhases, 'a' | 'b' | 'c'>;

const MINUTE_MS = 60_000;
const HOUR_MS: number = 60 * MINUTE_MS;
/** Common practice; a compressor's winding warms in that time. */
const ROUTINE_HOLD_MS: number = 30 * MINUTE_MS;
const URGENT_HOLD_MS: number = 15 * MINUTE_MS;
/** What is learned and what is read both err a little: the limit counts from this share of it. */
const LIMIT_SHARE = 0.92;
/** Ends after this long of running under a like load below this share of the routine limit. */
const CLOSING_MS: number = 2 * HOUR_MS;
const CLOSING_SHARE = 0.7;
/** What is as good as even ends it in a quarter of the time. */
const EVEN_SHARE = 0.4;
const EVEN_COUNTS = 4;
/** A phase below this share of the mean is a lost phase, not an uneven one. */
const CARRYING_SHARE = 0.35;
/** What flows at rest on a third phase, by a neutral, controls or heaters, is no motor. */
const LEAST_CARRYING_AMPS = 1.2;
/** Small currents read uneven by the sensors' error alone. */
const LEAST_MEAN_AMPS = 2;
/** A stage within this share of the unbalanced one carries the same loads. */
const LIKE_LOAD_SHARE = 0.3;
/** If the unbalanced stage does not run for so long, any even running ends the finding. */
const LIKE_LOAD_MEMORY_MS: number = 72 * HOUR_MS;
const DRIVE_ALLOWANCE = 2;
/** Of the shape of an outlet, and nobody saw it come: it takes so many times as long. */
const SUPPOSED_SLOWNESS = 8;
const ALIKE_PERCENT = 1.5;
/** One phase low at once beside two that draw as usual is most likely its sensor, which is proven
 * within a day. What takes so much off a motor's phase adds half of it to the others. */
const SLIPPED_SLOWNESS = 150;
const SLIPPED_PERCENT = 12;
const AS_USUAL = 0.04;
/** Over the limit for so long before: it grew, and no sensor slips slowly. */
const GREW_MS: number = 10 * MINUTE_MS;

const NO_TIME_OVER: TimeOver = {
  overRoutineMs: null,
  overUrgentMs: null,
  calmMs: null,
  overAmps: null,
  overAtMs: null,
  overStages: 0,
  calmStages: 0,
};

export const CURRENT_UNBALANCE_START: CurrentUnbalance = {
  atMs: null,
  percent: null,
  time: NO_TIME_OVER,
  stages: NO_UNEVEN_STAGES,
  lastAtMs: null,
  last: [0, 0, 0],
  load: null,
  known: null,
  hint: null,
};

const TIME_FIELDS: FieldGuards<TimeOver> = {
  overRoutineMs: isNumberOrNull,
  overUrgentMs: isNumberOrNull,
  calmMs: isNumberOrNull,
  overAmps: isNumberOrNull,
  overAtMs: isNumberOrNull,
  overStages: isNumber,
  calmStages: isNumber,
};

export const CURRENT_UNBALANCE_FIELDS: FieldGuards<CurrentUnbalance> = {
  atMs: isNumberOrNull,
  percent: isNumberOrNull,
  time: hasShape(TIME_FIELDS),
  stages: areUnevenStages,
  lastAtMs: isNumberOrNull,
  last: isListOf(isNumber, 3),
  load: isAddedLoad,
  known: isKnownLoad,
  hint: isNullOr(isListOf(isNumber, 4)),
};

/** What the newest currents say. */
export interface CurrentJudgement {
  readonly slice: CurrentUnbalance;
  /** Over what is usual; null when nothing can be said of these currents. */
  readonly excess: Excess | null;
  readonly learned: boolean;
}

/** What the unit is while these currents flow. */
export interface CurrentContext {
  readonly operating: OperatingSlice;
  readonly parameters: DetectorParameters;
  /** Fresh line voltages are uneven enough to explain the currents. */
  readonly voltageExplains: boolean;
  /** A finding stands that rests on the currents: what is uneven is not learned. */
  readonly standing: boolean;
}

export function stepCurrentUnbalance(
  before: CurrentUnbalance,
  currents: ThreePhases,
  atMs: number,
  context: CurrentContext,
): CurrentJudgement {
  const { operating, parameters } = context;
  const threePhase =
    operating.state === 'running' && isThreePhaseLoad(currents, parameters.runningAmps);
  const tracked = followLoads(before, currents, atMs, threePhase, parameters);
  // Field by field: spreading is several times slower, and this runs for each reading.
  const slice: CurrentUnbalance = {
    atMs: before.atMs,
    percent: before.percent,
    time: before.time,
    stages: before.stages,
    lastAtMs: atMs,
    last: ampsOf(currents),
    load: tracked.load,
    known: tracked.known,
    hint: before.hint,
  };
  if (!threePhase) return { slice, excess: null, learned: false };
  return judgeRunning(slice, currents, atMs, context, before.lastAtMs ?? atMs);
}

function learnedAt(stages: UnevenStages, index: number): UnevenStage | null {
  const stage = index < 0 ? null : stages[index];
  return isLearned(stage) ? stage : null;
}

function isThreePhaseLoad(currents: ThreePhases, runningAmps: number): boolean {
  const mean = meanOf(currents);
  return (
    mean >= LEAST_MEAN_AMPS &&
    currents.smallest >= Math.max(CARRYING_SHARE * mean, LEAST_CARRYING_AMPS) &&
    // An outlet beside a small fan lifts the mean, not the middle one.
    middleOf(currents) >= Math.max(LEAST_MEAN_AMPS, runningAmps)
  );
}

function judgeRunning(
  before: CurrentUnbalance,
  currents: ThreePhases,
  atMs: number,
  context: CurrentContext,
  lastAtMs: number,
): CurrentJudgement {
  const { parameters, standing } = context;
  const { stages } = before;
  const bare = withoutLoad(currents, before.load?.amps ?? null);
  const meanAmps = meanOf(bare);
  if (meanAmps < LEAST_MEAN_AMPS) return { slice: before, excess: null, learned: false };
  let index = unevenStage(stages, bare);
  const loads = supposeLoads(
    before,
    currents,
    atMs,
    learnedAt(stages, index),
    meanAmps,
    before.time.overRoutineMs !== null,
    context.voltageExplains,
    learnedAt(stages, unevenStage(stages, currents)),
  );
  const { load } = loads;
  if (load !== before.load) index = unevenStage(stages, withoutLoad(currents, load?.amps ?? null));
  const usual = learnedAt(stages, index);
  const learned = usual !== null;
  const excess = excessNow(load, stages, currents, usual, parameters);
  const limit = limitPercent(parameters.limits.currentUnbalanceRoutinePercent, parameters);
  const learns =
    load === null &&
    !standing &&
    (learned || excess === null || excess.percent <= LIMIT_SHARE * limit);
  const slice: CurrentUnbalance = {
    atMs,
    percent: Math.round(unbalancePercent(currents.a, currents.b, currents.c) * 1000) / 1000,
    time:
      excess === null
        ? before.time
        : dwelling(before.time, before.atMs, currents, atMs, index, excess, usual, context),
    stages: learns ? learnUneven(before.stages, index, currents, atMs, lastAtMs) : before.stages,
    lastAtMs: before.lastAtMs,
    last: before.last,
    load,
    known: loads.known,
    hint: loads.hint,
  };
  return { slice, excess, learned };
}

/** A limit for the currents of this unit, points of the mean, from that of the trade. */
export function limitPercent(percent: number, { drive }: DetectorParameters): number {
  return drive ? DRIVE_ALLOWANCE * percent : percent;
}

function dwelling(
  time: TimeOver,
  lastJudgedMs: number | null,
  currents: ThreePhases,
  atMs: number,
  index: number,
  excess: Excess,
  usual: UnevenStage | null,
  { operating, parameters, standing, voltageExplains }: CurrentContext,
): TimeOver {
  const { limits } = parameters;
  const bit = index < 0 ? 0 : 1 << index;
  const routine = limitPercent(limits.currentUnbalanceRoutinePercent, parameters);
  const urgent = limitPercent(limits.currentUnbalanceUrgentPercent, parameters);
  // Only running time counts: a pause between two cycles neither helps nor harms.
  const ranMs = atMs - Math.max(lastJudgedMs ?? atMs, operating.sinceMs ?? atMs);
  const hasRisen = risenPercent(excess, usual) > LIMIT_SHARE * routine;
  const overRoutine = hasRisen && excess.percent > LIMIT_SHARE * routine;
  const calm = excess.percent < CLOSING_SHARE * routine;
  const calmMs = excess.percent < EVEN_SHARE * routine ? EVEN_COUNTS * ranMs : ranMs;
  // As most of the time: nothing stands, and nothing is to be counted.
  if (!overRoutine && !standing && time.overRoutineMs === null && time.overUrgentMs === null) {
    return time.overStages === 0 && time.calmStages === 0 && time.calmMs === null
      ? time
      : NO_TIME_OVER;
  }
  const like = isLikeLoad(time, currents, atMs);
  if (!overRoutine && !like) {
    const calmStages = time.calmStages | (calm ? bit : 0);
    return calmStages === time.calmStages ? time : { ...time, calmStages };
  }
  const slowness =
    usual === null || voltageExplains ? 1 : slownessOf(time, currents, excess, usual);
  const inMs = ranMs / slowness;
  const overUrgent = hasRisen && excess.percent > LIMIT_SHARE * urgent;
  const next = (dwellMs: DwellMs, isIn: boolean, holdMs: number): DwellMs =>
    nextDwell(dwellMs, isIn, isIn ? inMs : ranMs, holdMs);
  const overRoutineMs = next(time.overRoutineMs, overRoutine, ROUTINE_HOLD_MS);
  const over = overRoutineMs !== null || standing;
  return {
    overRoutineMs: overRoutineMs === null ? null : Math.round(overRoutineMs),
    overUrgentMs: next(time.overUrgentMs, overUrgent, URGENT_HOLD_MS),
    calmMs: calm
      ? nextDwell(time.calmMs, true, calmMs, CLOSING_MS)
      : overRoutine
        ? null
        : time.calmMs,
    overAmps: overRoutine ? Math.round(100 * meanOf(currents)) / 100 : time.overAmps,
    overAtMs: overRoutine ? atMs : time.overAtMs,
    overStages: over ? time.overStages | (overRoutine ? bit : 0) : 0,
    calmStages: over ? time.calmStages | (calm ? bit : 0) : 0,
  };
}

/** How much longer it takes than a limit says, for what is most likely no unbalance. */
function slownessOf(
  { overRoutineMs }: TimeOver,
  currents: ThreePhases,
  excess: Excess,
  usual: UnevenStage,
): number {
  if (isOneHigh(excess, ALIKE_PERCENT)) return SUPPOSED_SLOWNESS;
  if (overRoutineMs !== null && overRoutineMs > GREW_MS) return 1;
  const low = Math.min(excess.a, excess.b, excess.c);
  if (low > -SLIPPED_PERCENT) return 1;
  const [, usualA, usualB, usualAmps] = usual;
  const asUsual = (over: number, amps: number, usualPercent: number): boolean =>
    over === low || Math.abs(amps / (usualAmps * (1 + usualPercent / 100)) - 1) <= AS_USUAL;
  const slipped =
    asUsual(excess.a, currents.a, usualA) &&
    asUsual(excess.b, currents.b, usualB) &&
    asUsual(excess.c, currents.c, -usualA - usualB);
  return slipped ? SLIPPED_SLOWNESS : 1;
}

/** One phase that carries more, or less, leaves it as it is. */
function middleOf({ a, b, c }: Phases): number {
  return a + b + c - Math.max(a, b, c) - Math.min(a, b, c);
}

function meanOf({ a, b, c }: Phases): number {
  return (a + b + c) / 3;
}

/** True when this load would show the unbalance that was seen, or that was too long ago. */
function isLikeLoad(time: TimeOver, currents: ThreePhases, atMs: number): boolean {
  const { overAmps, overAtMs } = time;
  if (overAmps === null || overAtMs === null) return true;
  if (atMs - overAtMs > LIKE_LOAD_MEMORY_MS) return true;
  return Math.abs(meanOf(currents) - overAmps) <= LIKE_LOAD_SHARE * overAmps;
}

export function currentPriority({ time }: CurrentUnbalance): Priority | null {
  if (hasDwelt(time.overUrgentMs, URGENT_HOLD_MS)) return 'urgent';
  return hasDwelt(time.overRoutineMs, ROUTINE_HOLD_MS) ? 'routine' : null;
}

export function currentIsCalm({ time }: CurrentUnbalance): boolean {
  return hasDwelt(time.calmMs, CLOSING_MS);
}
