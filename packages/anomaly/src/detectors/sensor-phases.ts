import {
  type FieldGuards,
  hasShape,
  isBoolean,
  isListOf,
  isNumber,
  isNumberOrNull,
  isOneOf,
} from '../field-guards.ts';
import { withStage } from './load-stage.ts';
import type { OperatingSlice } from './operating-state.ts';
import type { DetectorParameters } from './parameters.ts';
import type { Sample, ThreePhases } from './sample.ts';
import {
  isLow,
  isWell,
  learnedShares,
  NO_SHARES,
  PHASE_NAMES,
  type PhaseName,
  ratioToUsual,
  STAGE_SHARES_FIELDS,
  type StageShares,
  shareStage,
  sharesOf,
} from './sensor-phase-shares.ts';

/**
 * Whether the current sensor of each phase can be believed: dead, slipped off, or its jaw half
 * closed.
 *
 * Uses: `ia ib ic`, line voltages where there are any. A sensor that reads low takes the same
 * share off whatever its conductor carries, in every stage and at rest, from one moment on, and
 * the other two do not know of it. That is how it differs from
 * - a lost phase: a motor draws about 1.73 times as much on the other two or stops, a resistive
 *   load draws 0.87 times as much, and a two-phase load at rest loses both its phases;
 * - an uneven supply: what lowers one phase raises the other two by half as much (negative
 *   sequence adds up to nothing), and each load answers by another ratio;
 * - a worn pole or burnt terminal: one load only, and slow;
 * - a service outlet or a stage that leaves: the phase comes back to what is usual, not below.
 * A ratio that comes and goes is a way the unit runs: it is learned as such.
 */
export interface PhaseSensorSlice {
  readonly atMs: number | null;
  readonly lastA: number;
  readonly lastB: number;
  readonly lastC: number;
  /** At rest, and five octaves of running current. */
  readonly stages: readonly StageShares[];
  readonly suspect: PhaseName | null;
  readonly suspectSinceMs: number | null;
  /** The fall was seen from one reading to the next, without an answer of the other two. */
  readonly stepSeen: boolean;
  readonly lowReadings: number;
  /** Bit n: stage n was seen low since. */
  readonly lowStages: number;
  readonly lowestRatio: number;
  readonly highestRatio: number;
  readonly wellReadings: number;
  readonly wellSinceMs: number | null;
  readonly fault: PhaseSensorFault | null;
}

export const PHASE_SENSOR_FAULTS = ['phase-zero', 'phase-low'] as const;
export type PhaseSensorFault = (typeof PHASE_SENSOR_FAULTS)[number];

const MINUTE_MS = 60_000;
const HOUR_MS: number = 60 * MINUTE_MS;
const SHARE_STAGES = 6;
const STEP_WITHIN_MS: number = 5 * MINUTE_MS;
const NEAR_ZERO = 0.1;
/** The other two carry on: neither 1.73 of a motor nor 0.87 of a heater. */
const OTHERS_LEAST = 0.93;
const OTHERS_MOST = 1.1;
/** Negative sequence would raise the others by half of the fall. */
const OTHERS_SHARE_OF_FALL = 0.25;
/** Motors on two phases trip within seconds to minutes. */
const ZERO_MS: number = 10 * MINUTE_MS;
const ZERO_READINGS = 5;
const ZERO_UNSEEN_MS: number = 60 * MINUTE_MS;
const ZERO_UNSEEN_READINGS = 20;
const LOW_MS: number = 6 * HOUR_MS;
const LOW_READINGS = 60;
const LOW_UNSEEN_MS: number = 24 * HOUR_MS;
const LOW_ALONE_MS: number = 24 * HOUR_MS;
/** One fixed ratio, but for what stages differ. */
const SAME_RATIO = 0.82;
const RETURN_READINGS = 5;
const CLOSING_READINGS = 30;
const CLOSING_MS: number = 2 * HOUR_MS;
/** Voltages that are all there rule nothing out; one that is gone explains a lost phase. */
const LINE_VOLTS_SHARE = 0.8;
const MOST_COUNT = 1000;
const PROVES_AT_REST = 1;

export const PHASE_SENSOR_START: PhaseSensorSlice = {
  atMs: null,
  lastA: 0,
  lastB: 0,
  lastC: 0,
  stages: new Array<StageShares>(SHARE_STAGES).fill(NO_SHARES),
  suspect: null,
  suspectSinceMs: null,
  stepSeen: false,
  lowReadings: 0,
  lowStages: 0,
  lowestRatio: 1,
  highestRatio: 0,
  wellReadings: 0,
  wellSinceMs: null,
  fault: null,
};

export const PHASE_SENSOR_FIELDS: FieldGuards<PhaseSensorSlice> = {
  atMs: isNumberOrNull,
  lastA: isNumber,
  lastB: isNumber,
  lastC: isNumber,
  stages: isListOf(hasShape(STAGE_SHARES_FIELDS), SHARE_STAGES),
  suspect: isOneOf([null, ...PHASE_NAMES]),
  suspectSinceMs: isNumberOrNull,
  stepSeen: isBoolean,
  lowReadings: isNumber,
  lowStages: isNumber,
  lowestRatio: isNumber,
  highestRatio: isNumber,
  wellReadings: isNumber,
  wellSinceMs: isNumberOrNull,
  fault: isOneOf([null, ...PHASE_SENSOR_FAULTS]),
};

const NO_SUSPICION = {
  suspect: null,
  suspectSinceMs: null,
  stepSeen: false,
  lowReadings: 0,
  lowStages: 0,
  lowestRatio: 1,
  highestRatio: 0,
  wellReadings: 0,
  wellSinceMs: null,
  fault: null,
} as const;

/** To be called for settled instants that bring currents. */
export function stepPhaseSensors(
  slice: PhaseSensorSlice,
  sample: Sample,
  operating: OperatingSlice,
  parameters: DetectorParameters,
): PhaseSensorSlice {
  const { atMs, currents, lineVolts } = sample;
  if (currents === null) return slice;
  const index = shareStage(currents, operating, parameters);
  const stage = slice.stages[index];
  const voltsThere =
    lineVolts === null || lineVolts.smallest >= LINE_VOLTS_SHARE * parameters.nominalLineVolts;
  const last = { atMs, lastA: currents.a, lastB: currents.b, lastC: currents.c };
  if (stage === undefined || !voltsThere) return { ...slice, ...last };
  const now = sharesOf(currents, index);
  if (slice.suspect === null) {
    const low = lowPhase(stage, now, index);
    if (low === null) {
      const stages = withStage(slice.stages, index, learnedShares(stage, now));
      return { ...slice, ...last, stages };
    }
    const stepSeen = fallsAlone(slice, low, currents, atMs);
    const begun = { ...slice, ...NO_SUSPICION, suspect: low, suspectSinceMs: atMs, stepSeen };
    return { ...withLow(begun, stage, now, index), ...last };
  }
  const ratio = ratioToUsual(slice.suspect, stage, now, index === 0);
  if (ratio === null) return { ...slice, ...last };
  if (isLow(ratio))
    return { ...confirmed(withLow(slice, stage, now, index), atMs, operating, currents), ...last };
  return isWell(ratio) ? { ...withWell(slice, atMs), ...last } : { ...slice, ...last };
}

type Shares = Omit<StageShares, 'readings'>;

/** The one phase that is low; null when none is or more than one. */
function lowPhase(stage: StageShares, now: Shares, index: number): PhaseName | null {
  let low: PhaseName | null = null;
  for (const phase of PHASE_NAMES) {
    const ratio = ratioToUsual(phase, stage, now, index === 0);
    if (ratio === null || !isLow(ratio)) continue;
    if (low !== null) return null;
    low = phase;
  }
  return low;
}

function fallsAlone(
  slice: PhaseSensorSlice,
  phase: PhaseName,
  now: ThreePhases,
  atMs: number,
): boolean {
  if (slice.atMs === null || atMs - slice.atMs > STEP_WITHIN_MS) return false;
  const before = { a: slice.lastA, b: slice.lastB, c: slice.lastC };
  if (before[phase] <= 0) return false;
  const fall = now[phase] / before[phase];
  if (!isLow(fall)) return false;
  for (const other of PHASE_NAMES) {
    if (other === phase) continue;
    const change = before[other] > 0 ? now[other] / before[other] : 1;
    if (change < OTHERS_LEAST || change > OTHERS_MOST) return false;
    if (fall > NEAR_ZERO && Math.abs(change - 1) > OTHERS_SHARE_OF_FALL * (1 - fall)) return false;
  }
  return true;
}

function withLow(
  slice: PhaseSensorSlice,
  stage: StageShares,
  now: Shares,
  index: number,
): PhaseSensorSlice {
  const { suspect } = slice;
  const ratio = suspect === null ? null : ratioToUsual(suspect, stage, now, index === 0);
  if (ratio === null) return slice;
  // The floor of the sensor bends small currents at rest: they count, but not their ratio.
  const counted = index > 0 || slice.lowReadings === 0;
  return {
    ...slice,
    lowReadings: Math.min(slice.lowReadings + 1, MOST_COUNT),
    lowStages: slice.lowStages | (1 << index),
    lowestRatio: counted ? Math.min(slice.lowestRatio, ratio) : slice.lowestRatio,
    highestRatio: counted ? Math.max(slice.highestRatio, ratio) : slice.highestRatio,
    wellReadings: 0,
    wellSinceMs: null,
  };
}

/** Back to what is usual. Short of a fault, the low was a way in which this unit runs. */
function withWell(slice: PhaseSensorSlice, atMs: number): PhaseSensorSlice {
  const { suspect, fault } = slice;
  const wellReadings = Math.min(slice.wellReadings + 1, CLOSING_READINGS);
  const wellSinceMs = slice.wellSinceMs ?? atMs;
  const next = { ...slice, wellReadings, wellSinceMs };
  if (suspect === null) return next;
  if (fault !== null) {
    const over = wellReadings >= CLOSING_READINGS && atMs - wellSinceMs >= CLOSING_MS;
    return over ? { ...next, ...NO_SUSPICION } : next;
  }
  if (wellReadings < RETURN_READINGS) return next;
  const stages = slice.stages.map((stage, index) =>
    (slice.lowStages & (1 << index)) === 0
      ? stage
      : { ...stage, [suspect]: stage[suspect] * slice.lowestRatio },
  );
  return { ...next, ...NO_SUSPICION, stages };
}

function confirmed(
  slice: PhaseSensorSlice,
  atMs: number,
  operating: OperatingSlice,
  currents: ThreePhases,
): PhaseSensorSlice {
  const { suspect, suspectSinceMs, stepSeen, lowReadings, lowStages } = slice;
  if (slice.fault !== null || suspect === null || suspectSinceMs === null) return slice;
  const lastedMs = atMs - suspectSinceMs;
  const atRest = (lowStages & PROVES_AT_REST) !== 0;
  const running = lowStages >> 1;
  const manyRunning = (running & (running - 1)) !== 0;
  if (slice.highestRatio < NEAR_ZERO) {
    const seen = stepSeen && lastedMs >= ZERO_MS && lowReadings >= ZERO_READINGS;
    const unseen =
      lastedMs >= ZERO_UNSEEN_MS &&
      lowReadings >= ZERO_UNSEEN_READINGS &&
      (atRest || othersCarryOn(suspect, currents, operating));
    return seen || unseen ? { ...slice, fault: 'phase-zero' } : slice;
  }
  if (slice.lowestRatio < SAME_RATIO * slice.highestRatio || lowReadings < LOW_READINGS) {
    return slice;
  }
  const everywhere = running !== 0 && (atRest || manyRunning);
  const low = everywhere
    ? lastedMs >= (stepSeen ? LOW_MS : LOW_UNSEEN_MS)
    : stepSeen && lastedMs >= LOW_ALONE_MS;
  return low ? { ...slice, fault: 'phase-low' } : slice;
}

/** As much on the other two as when all three were last seen. */
function othersCarryOn(
  phase: PhaseName,
  currents: ThreePhases,
  { threePhaseAtMs, threePhaseAmpsA, threePhaseAmpsB, threePhaseAmpsC, state }: OperatingSlice,
): boolean {
  if (threePhaseAtMs === null || state !== 'running') return false;
  const before = { a: threePhaseAmpsA, b: threePhaseAmpsB, c: threePhaseAmpsC };
  return PHASE_NAMES.every((other) => {
    if (other === phase) return true;
    const change = before[other] > 0 ? currents[other] / before[other] : 0;
    return change >= OTHERS_LEAST && change <= OTHERS_MOST;
  });
}
