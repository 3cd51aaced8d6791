import { type FieldGuards, isBoolean, isNumber, isNumberOrNull, isOneOf } from '../field-guards.ts';
import { type DetectorStep, NO_CHANGES } from './detector-step.ts';
import type { OperatingSlice } from './operating-state.ts';
import {
  isKnownPairLoad,
  isPairLoad,
  learnPairLoad,
  middleAmpsOf,
  type PairLoad,
} from './pair-load.ts';
import type { DetectorParameters } from './parameters.ts';
import { type LeakageAround, phaseGoneAtRest, type RestCurrents } from './phase-loss-at-rest.ts';
import { type CurrentVerdict, extraAmpsOf, phasesByCurrent } from './phase-loss-currents.ts';
import { phaseLossFinding } from './phase-loss-finding.ts';
import { LOST, type LostPhase } from './phase-loss-verdict.ts';
import { phasesByVoltage } from './phase-loss-voltages.ts';
import { lowestPhase, type Sample, type ThreePhases } from './sample.ts';
import type { UnevenStages } from './unbalance-stages.ts';

/**
 * One phase lost: an emergency at the second reading.
 *
 * Uses: `ia ib ic` while running, the three-phase current seen within the last week, what each
 * stage of load is known to draw, poles and full-load amps of the contactors; `van vbn vcn` or
 * `vab vbc vca`, also at rest, because the next start would be on two phases; at rest also an idle
 * current that goes with a surge of leakage.
 *
 * A motor on two phases draws about 1.73 times as much on them and trips within seconds to
 * minutes, so that the two readings may come from two short runs. Behind a delta-wye transformer
 * no phase is at zero: one carries about 230 %, the other two about 115 %.
 *
 * Not taken for it: control transformer and crankcase heaters at rest; a single-phase stage (its
 * two currents are small against what the unit draws on three phases); an outlet in use (the other
 * two stay as they were); a phase that reads nothing while the other two carry on exactly as
 * before, or draw at a start what a stage is known to draw: that sensor is dead. Limits: without
 * voltages or an idle current a phase that is lost at rest cannot be seen before the next start; a
 * heater and a fan that share the load may add up to what both drew before, and a loss then shows
 * when the fan has tripped.
 */
export interface PhaseLossSlice extends RestCurrents {
  readonly readings: number;
  readonly phase: 'a' | 'b' | 'c' | null;
  /** The latest reading that showed it. */
  readonly lostAtMs: number | null;
  readonly standing: boolean;
  readonly seenByVoltage: boolean;
  readonly healthyReadings: number;
  readonly healthySinceMs: number | null;
  /** The phase whose sensor fell silent while the load carried on. */
  readonly silentSensor: 'a' | 'b' | 'c' | null;
  readonly pairLoad: PairLoad;
  /** What one phase had above the other two at the newest running reading, A; null: nothing much. */
  readonly extraAmps: number | null;
}

const PHASE_LOSS_READINGS_TO_RAISE = 2;
const SAME_RUN_MS = 300_000;
/** A protector that tripped may wait for hours before the next short run. */
const LOST_MEMORY_MS = 86_400_000;
/** Closes after the unit has been well for this long, ... */
const PHASE_LOSS_CLOSING_MS = 300_000;
/** ... over at least this many readings. */
const CLOSING_READINGS = 3;
/** A rest this long ago says what flows without the loads. */
const REST_MEMORY_MS = 600_000;
const REST_NOTED_MS = 240_000;
const REST_SAME_AMPS = 0.3;
/** The smallest of fans. Common practice, no source. */
const FAN_LEAST_AMPS = 0.5;
/** Crankcase heaters of one unit. Common practice, no source. */
const HEATER_MOST_AMPS = 1;
/** Controls and heaters lie on one phase of a fan more than on the other. */
const ALIKE_SHARE = 0.7;
/** An outlet's load wanders by less. */
const EXTRA_SAME_SHARE = 0.1;
/** Below this share of the other two, a phase carries nothing of their load. */
const NOTHING_SHARE = 0.35;

export const PHASE_LOSS_START: PhaseLossSlice = {
  readings: 0,
  phase: null,
  lostAtMs: null,
  standing: false,
  seenByVoltage: false,
  healthyReadings: 0,
  healthySinceMs: null,
  silentSensor: null,
  pairLoad: null,
  extraAmps: null,
  restAtMs: null,
  restAmpsA: 0,
  restAmpsB: 0,
  restAmpsC: 0,
};

const PHASES = ['a', 'b', 'c'] as const;

export const PHASE_LOSS_FIELDS: FieldGuards<PhaseLossSlice> = {
  readings: isNumber,
  phase: isOneOf([null, ...PHASES]),
  lostAtMs: isNumberOrNull,
  standing: isBoolean,
  seenByVoltage: isBoolean,
  healthyReadings: isNumber,
  healthySinceMs: isNumberOrNull,
  silentSensor: isOneOf([null, ...PHASES]),
  pairLoad: isPairLoad,
  extraAmps: isNumberOrNull,
  restAtMs: isNumberOrNull,
  restAmpsA: isNumber,
  restAmpsB: isNumber,
  restAmpsC: isNumber,
};

/** To be called for settled instants that bring currents or voltages. */
export function stepPhaseLoss(
  slice: PhaseLossSlice,
  sample: Sample,
  operating: OperatingSlice,
  leakage: LeakageAround,
  stages: UnevenStages,
  sensorsHold: { readonly a: boolean; readonly b: boolean; readonly c: boolean },
  parameters: DetectorParameters,
): DetectorStep<PhaseLossSlice> {
  const { atMs, currents } = sample;
  if (currents !== null && operating.state === 'idle') {
    const waiting = slice.readings > 0 ? slice.phase : null;
    const sinceMs = operating.sinceMs ?? atMs;
    const gone = phaseGoneAtRest(atMs, currents, slice, leakage, waiting, sinceMs);
    // Voltage behind every fuse: what went was a load.
    const allLive = phasesByVoltage(sample, parameters) === 'well';
    if (isInrushOver(slice, atMs, currents, operating)) {
      return judge(cleared(slice), sample, operating, null, parameters);
    }
    if (gone !== null && !allLive)
      return judge(slice, sample, operating, LOST.direct[gone], parameters);
    return judge(rested(slice, atMs, currents), sample, operating, null, parameters);
  }
  if (currents === null || operating.state !== 'running') {
    return judge(slice, sample, operating, null, parameters);
  }
  const resting = slice.restAtMs !== null && atMs - slice.restAtMs <= REST_MEMORY_MS;
  const verdict = phasesByCurrent(currents, atMs, {
    operating,
    parameters,
    stages,
    silentSensor: slice.silentSensor ?? PHASES.find((phase) => !sensorsHold[phase]) ?? null,
    restAmps: resting ? largestAtRest(slice) : null,
    pairLoad: slice.pairLoad,
    extraBeforeAmps: slice.extraAmps,
    waiting: waitsInThisRun(slice, operating) ? slice.phase : null,
  });
  const noted = withExtra(slice, extraAmpsOf(currents));
  if (verdict === null && !noted.standing) {
    const next = aside(noted, atMs, currents, operating, parameters);
    return judge(next, sample, operating, null, parameters);
  }
  if (verdict !== 'sensor') {
    const again = verdict === 'well' && noted.silentSensor !== null;
    const heard = again ? { ...noted, silentSensor: null } : noted;
    return judge(heard, sample, operating, verdict, parameters);
  }
  const silentSensor = lowest(sample);
  const next = noted.silentSensor === silentSensor ? noted : { ...noted, silentSensor };
  return judge(next, sample, operating, null, parameters);
}

/** Seldom a new object: what one phase has above the others changes with the load. */
function withExtra(slice: PhaseLossSlice, amps: number | null): PhaseLossSlice {
  const before = slice.extraAmps;
  if (amps === null) return before === null ? slice : { ...slice, extraAmps: null };
  const isSame = before !== null && Math.abs(amps / before - 1) <= EXTRA_SAME_SHARE;
  return isSame ? slice : { ...slice, extraAmps: hundredths(amps) };
}

/** Not where the run began with it: a single-phase fan's start looks so. */
function waitsInThisRun(
  { readings, lostAtMs }: PhaseLossSlice,
  { sinceMs }: OperatingSlice,
): boolean {
  return readings > 0 && lostAtMs !== null && sinceMs !== null && lostAtMs > sinceMs;
}

/** True when two phases carry on with less right after: a small fan's start looked like a loss. */
function isInrushOver(
  slice: PhaseLossSlice,
  atMs: number,
  currents: ThreePhases,
  { idleLowestAmps }: OperatingSlice,
): boolean {
  const { readings, standing, lostAtMs, phase } = slice;
  if (standing || readings === 0 || lostAtMs === null || atMs - lostAtMs > SAME_RUN_MS)
    return false;
  if (phase !== lowestPhase(currents)) return false;
  const { largest } = currents;
  const middle = middleAmpsOf(currents);
  // What was noted at rest may be the fan; a heater beside the controls draws less than one.
  const withoutFan = Math.min(
    largestAtRest(slice) + FAN_LEAST_AMPS,
    (idleLowestAmps ?? Infinity) + HEATER_MOST_AMPS,
  );
  return middle >= withoutFan && middle >= ALIKE_SHARE * largest;
}

/** What runs beside the three-phase loads: an outlet on one phase, a fan on two. */
function aside(
  slice: PhaseLossSlice,
  atMs: number,
  currents: ThreePhases,
  operating: OperatingSlice,
  { runningAmps }: DetectorParameters,
): PhaseLossSlice {
  const middle = middleAmpsOf(currents);
  if (middle < runningAmps) {
    const isOver = isInrushOver(slice, atMs, currents, operating);
    return isOver ? cleared(slice) : rested(slice, atMs, currents);
  }
  if (currents.smallest >= NOTHING_SHARE * middle) return slice;
  const phase = lowestPhase(currents);
  const pairLoad = learnPairLoad(slice.pairLoad, phase, middle);
  // What the run began with was the fan's own inrush.
  const inrush =
    slice.readings > 0 &&
    slice.lostAtMs === operating.sinceMs &&
    slice.phase === phase &&
    isKnownPairLoad(pairLoad, phase, middle);
  if (inrush) return { ...cleared(slice), pairLoad };
  return pairLoad === slice.pairLoad ? slice : { ...slice, pairLoad };
}

/** Noted every few minutes: most of the time nothing changes at rest. */
function rested(slice: PhaseLossSlice, atMs: number, currents: ThreePhases): PhaseLossSlice {
  const isNoted = slice.restAtMs !== null && atMs - slice.restAtMs < REST_NOTED_MS;
  if (isNoted && Math.abs(currents.largest - largestAtRest(slice)) < REST_SAME_AMPS) return slice;
  return {
    ...slice,
    restAtMs: atMs,
    restAmpsA: hundredths(currents.a),
    restAmpsB: hundredths(currents.b),
    restAmpsC: hundredths(currents.c),
  };
}

function largestAtRest({ restAmpsA, restAmpsB, restAmpsC }: RestCurrents): number {
  return Math.max(restAmpsA, restAmpsB, restAmpsC);
}

function hundredths(amps: number): number {
  return Math.round(amps * 100) / 100;
}

function lowest({ currents }: Sample): 'a' | 'b' | 'c' | null {
  return PHASES.find((phase) => currents?.[phase] === currents?.smallest) ?? null;
}

function judge(
  slice: PhaseLossSlice,
  sample: Sample,
  operating: OperatingSlice,
  byCurrent: Exclude<CurrentVerdict, 'sensor'>,
  parameters: DetectorParameters,
): DetectorStep<PhaseLossSlice> {
  const { atMs } = sample;
  const byVoltage = phasesByVoltage(sample, parameters);
  const lost = lostOf(byCurrent) ?? lostOf(byVoltage);
  if (lost === null) {
    const well = byCurrent === 'well' || (slice.seenByVoltage && byVoltage === 'well');
    const runsOn = byCurrent === null && operating.state === 'running';
    return settle(runsOn ? unconfirmed(slice, atMs) : slice, atMs, well);
  }
  if (slice.standing) {
    const unwell = slice.healthyReadings === 0 && slice.healthySinceMs === null;
    return {
      slice: unwell ? slice : { ...slice, healthyReadings: 0, healthySinceMs: null },
      changes: NO_CHANGES,
    };
  }
  const goesOn =
    slice.phase === lost.phase &&
    slice.lostAtMs !== null &&
    atMs - slice.lostAtMs <= LOST_MEMORY_MS;
  const readings = goesOn ? slice.readings + 1 : 1;
  const next: PhaseLossSlice = {
    ...cleared(slice),
    readings,
    phase: lost.phase,
    lostAtMs: atMs,
    seenByVoltage: lostOf(byVoltage) !== null,
  };
  if (readings < PHASE_LOSS_READINGS_TO_RAISE) return { slice: next, changes: NO_CHANGES };
  const whileRunning = operating.state === 'running' && lostOf(byCurrent) !== null;
  const finding = phaseLossFinding(lost, whileRunning, byVoltage, sample, operating);
  return { slice: { ...next, readings: 0, standing: true }, changes: [finding] };
}

/**
 * What the same run does not confirm may have been the inrush of a single-phase fan, or a load that
 * has tripped beside one that runs on: it counts half.
 */
function unconfirmed(slice: PhaseLossSlice, atMs: number): PhaseLossSlice {
  const { standing, readings, lostAtMs } = slice;
  const isFresh = lostAtMs !== null && atMs - lostAtMs <= SAME_RUN_MS;
  if (standing || !isFresh || !Number.isInteger(readings) || readings === 0) return slice;
  return { ...slice, readings: readings - 0.5 };
}

function lostOf(verdict: Exclude<CurrentVerdict, 'sensor'>): LostPhase | null {
  return verdict === 'well' ? null : verdict;
}

/** What is known of sensors and rests outlives a loss. */
function cleared(slice: PhaseLossSlice): PhaseLossSlice {
  const { silentSensor, pairLoad, extraAmps, restAtMs } = slice;
  const { restAmpsA, restAmpsB, restAmpsC } = slice;
  const rest = { restAtMs, restAmpsA, restAmpsB, restAmpsC };
  return { ...PHASE_LOSS_START, silentSensor, pairLoad, extraAmps, ...rest };
}

/** No loss in sight: nothing learned, or well. A rest says neither loss nor recovery. */
function settle(slice: PhaseLossSlice, atMs: number, well: boolean): DetectorStep<PhaseLossSlice> {
  if (!slice.standing) {
    const forgets = well && slice.readings > 0;
    return { slice: forgets ? cleared(slice) : slice, changes: NO_CHANGES };
  }
  if (!well) {
    const next = { ...slice, healthyReadings: 0, healthySinceMs: null };
    return { slice: slice.healthyReadings === 0 ? slice : next, changes: NO_CHANGES };
  }
  const healthySinceMs = slice.healthySinceMs ?? atMs;
  const healthyReadings = Math.min(slice.healthyReadings + 1, CLOSING_READINGS);
  if (healthyReadings >= CLOSING_READINGS && atMs - healthySinceMs >= PHASE_LOSS_CLOSING_MS) {
    return { slice: cleared(slice), changes: [{ change: 'closed', kind: 'phase-loss', atMs }] };
  }
  return { slice: { ...slice, healthyReadings, healthySinceMs }, changes: NO_CHANGES };
}
