import {
  type FieldGuard,
  type FieldGuards,
  hasShape,
  isBoolean,
  isListOf,
  isNullOr,
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
  READINGS_A_LESSON,
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
 *   sequence adds up to nothing), and what flows at rest hardly answers;
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
  /** Readings since old values were last forgotten a little. */
  readonly sinceLesson: number;
  readonly suspicion: Suspicion | null;
  readonly fault: PhaseSensorFault | null;
}

/** One phase that reads low, and what was seen of it since. */
export interface Suspicion {
  readonly phase: PhaseName;
  readonly sinceMs: number;
  /** The fall was seen from one reading to the next, without an answer of the other two. */
  readonly stepSeen: boolean;
  readonly lowReadings: number;
  /** Bit n: stage n was seen low. */
  readonly lowStages: number;
  readonly lowestRatio: number;
  readonly highestRatio: number;
  readonly wellReadings: number;
  readonly wellSinceMs: number | null;
}

const PHASE_SENSOR_FAULTS = ['phase-zero', 'phase-low'] as const;
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
/** Five per cent of voltage make up to fifty of current, on three phases together (NEMA MG 1). */
const LOW_UNSEEN_RATIO = 0.5;
/** Voltages this even make at most a tenth of current unbalance. */
const EVEN_SHARE = 0.01;
const LOW_ALONE_MS: number = 24 * HOUR_MS;
/** One fixed ratio, but for what stages differ. */
const SAME_RATIO = 0.82;
/** Lows that are neither proven nor gone by then belong to the unit. */
const SUSPICION_MOST_MS: number = 72 * HOUR_MS;
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
  sinceLesson: 0,
  suspicion: null,
  fault: null,
};

const isSuspicion: FieldGuard = hasShape<Suspicion>({
  phase: isOneOf(PHASE_NAMES),
  sinceMs: isNumber,
  stepSeen: isBoolean,
  lowReadings: isNumber,
  lowStages: isNumber,
  lowestRatio: isNumber,
  highestRatio: isNumber,
  wellReadings: isNumber,
  wellSinceMs: isNumberOrNull,
});

export const PHASE_SENSOR_FIELDS: FieldGuards<PhaseSensorSlice> = {
  atMs: isNumberOrNull,
  lastA: isNumber,
  lastB: isNumber,
  lastC: isNumber,
  stages: isListOf(hasShape(STAGE_SHARES_FIELDS), SHARE_STAGES),
  sinceLesson: isNumber,
  suspicion: isNullOr(isSuspicion),
  fault: isOneOf([null, ...PHASE_SENSOR_FAULTS]),
};

/** To be called for settled instants that bring currents. */
export function stepPhaseSensors(
  slice: PhaseSensorSlice,
  sample: Sample,
  operating: OperatingSlice,
  parameters: DetectorParameters,
): PhaseSensorSlice {
  const { atMs, currents, lineVolts } = sample;
  if (currents === null) return slice;
  let { stages, sinceLesson, suspicion, fault } = slice;
  const index = shareStage(currents, operating, parameters);
  const stage = stages[index];
  const voltsThere =
    lineVolts === null || lineVolts.smallest >= LINE_VOLTS_SHARE * parameters.nominalLineVolts;
  if (stage !== undefined && voltsThere) {
    const now = sharesOf(currents, index);
    if (suspicion === null) {
      const phase = lowPhase(stage, now, index);
      if (phase === null) {
        const forgets = sinceLesson >= READINGS_A_LESSON;
        const learned = learnedShares(stage, now, forgets);
        if (learned !== stage) stages = withStage(stages, index, learned);
        sinceLesson = forgets ? 0 : sinceLesson + 1;
      } else {
        const stepSeen = fallsAlone(slice, phase, currents, atMs);
        const ratio = now[phase] / stage[phase];
        suspicion = withLow(suspicionOf(phase, atMs, stepSeen), ratio, index);
      }
    } else {
      const ratio = ratioToUsual(suspicion.phase, stage, now, index === 0);
      if (ratio !== null && isLow(ratio)) {
        suspicion = withLow(suspicion, ratio, index);
        fault ??= proven(suspicion, sample, currents, operating, parameters);
      } else if (ratio !== null && isWell(ratio)) {
        suspicion = withWell(suspicion, atMs);
      }
      if (isOver(suspicion, fault, atMs)) {
        if (fault === null) stages = asHabit(stages, suspicion);
        suspicion = null;
        fault = null;
      }
    }
  }
  return {
    atMs,
    lastA: currents.a,
    lastB: currents.b,
    lastC: currents.c,
    stages,
    sinceLesson,
    suspicion,
    fault,
  };
}

function suspicionOf(phase: PhaseName, sinceMs: number, stepSeen: boolean): Suspicion {
  return {
    phase,
    sinceMs,
    stepSeen,
    lowReadings: 0,
    lowStages: 0,
    lowestRatio: 1,
    highestRatio: 0,
    wellReadings: 0,
    wellSinceMs: null,
  };
}

type Shares = Omit<StageShares, 'seen'>;

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

/** Low in what flows at rest while another phase is well: no contact and no supply does that. */
export function isLowAtRest({ lowStages }: Suspicion): boolean {
  return (lowStages & PROVES_AT_REST) !== 0;
}

function withLow(suspicion: Suspicion, ratio: number, index: number): Suspicion {
  // The floor of the sensor bends small currents at rest: they count, but not their ratio.
  const counted = index > 0 || suspicion.lowReadings === 0;
  return {
    ...suspicion,
    lowReadings: Math.min(suspicion.lowReadings + 1, MOST_COUNT),
    lowStages: suspicion.lowStages | (1 << index),
    lowestRatio: counted ? Math.min(suspicion.lowestRatio, ratio) : suspicion.lowestRatio,
    highestRatio: counted ? Math.max(suspicion.highestRatio, ratio) : suspicion.highestRatio,
    wellReadings: 0,
    wellSinceMs: null,
  };
}

function withWell(suspicion: Suspicion, atMs: number): Suspicion {
  return {
    ...suspicion,
    wellReadings: Math.min(suspicion.wellReadings + 1, CLOSING_READINGS),
    wellSinceMs: suspicion.wellSinceMs ?? atMs,
  };
}

/** Back to what is usual for long enough, or never proven. */
function isOver(
  { sinceMs, wellReadings, wellSinceMs }: Suspicion,
  fault: PhaseSensorFault | null,
  atMs: number,
): boolean {
  if (fault === null) {
    return wellReadings >= RETURN_READINGS || atMs - sinceMs >= SUSPICION_MOST_MS;
  }
  return (
    wellSinceMs !== null && wellReadings >= CLOSING_READINGS && atMs - wellSinceMs >= CLOSING_MS
  );
}

/** Short of a fault, the low was a way in which this unit runs. */
function asHabit(
  stages: readonly StageShares[],
  { phase, lowStages, lowestRatio }: Suspicion,
): readonly StageShares[] {
  return stages.map((stage, index) =>
    (lowStages & (1 << index)) === 0 ? stage : { ...stage, [phase]: stage[phase] * lowestRatio },
  );
}

function proven(
  suspicion: Suspicion,
  { atMs, lineVolts }: Sample,
  currents: ThreePhases,
  operating: OperatingSlice,
  { nominalLineVolts }: DetectorParameters,
): PhaseSensorFault | null {
  const { phase, sinceMs, stepSeen, lowReadings, lowStages } = suspicion;
  const lastedMs = atMs - sinceMs;
  const atRest = isLowAtRest(suspicion);
  const running = lowStages >> 1;
  const manyRunning = (running & (running - 1)) !== 0;
  if (suspicion.highestRatio < NEAR_ZERO) {
    const seen = stepSeen && lastedMs >= ZERO_MS && lowReadings >= ZERO_READINGS;
    const unseen =
      lastedMs >= ZERO_UNSEEN_MS &&
      lowReadings >= ZERO_UNSEEN_READINGS &&
      (atRest || othersCarryOn(phase, currents, operating));
    return seen || unseen ? 'phase-zero' : null;
  }
  const fixed = suspicion.lowestRatio >= SAME_RATIO * suspicion.highestRatio;
  if (!fixed || lowReadings < LOW_READINGS) return null;
  if (running === 0) return null;
  if (stepSeen || atRest) {
    return lastedMs >= (atRest || manyRunning ? LOW_MS : LOW_ALONE_MS) ? 'phase-low' : null;
  }
  // An uneven supply may lower one phase of every motor, but hardly what flows at rest.
  const evenSupply =
    lineVolts !== null && lineVolts.largest - lineVolts.smallest <= EVEN_SHARE * nominalLineVolts;
  const noSupply = evenSupply || suspicion.highestRatio < LOW_UNSEEN_RATIO;
  const provenUnseen = manyRunning && noSupply;
  return provenUnseen && lastedMs >= LOW_UNSEEN_MS ? 'phase-low' : null;
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
