import type { OperatingState } from '../condition.ts';
import { type FieldGuards, isNumber, isNumberOrNull, isOneOf } from '../field-guards.ts';
import type { DetectorParameters } from './parameters.ts';
import type { Sample, ThreePhases } from './sample.ts';

/**
 * What the unit does, from its phase currents, and from voltages where there are any.
 *
 * Uses: `ia ib ic`, `van vbn vcn` or `vab vbc vca`, `leak`; full-load amps of the contactors.
 * Off is not dead: a control transformer and crankcase heaters draw 0.03 to 1 A on two phases as
 * long as the unit is energised. Dead is told from idle by voltage, or by current where the
 * unit's own idle current has been seen well above the sensor's floor; otherwise it is unknown.
 */
export interface OperatingSlice {
  readonly state: OperatingState;
  /** Event time of the newest judged currents. */
  readonly atMs: number | null;
  readonly sinceMs: number | null;
  readonly largestAmps: number;
  /** The latest load step up happened after this time: inrush may still mislead the sensors. */
  readonly loadStepAfterMs: number | null;
  /** Readings in a row whose idle current stood above three times the sensor's floor. */
  readonly idleReadings: number;
  readonly idleLowestAmps: number | null;
  /** When all three phases last carried running current, and how much then. */
  readonly threePhaseAtMs: number | null;
  readonly threePhaseAmpsA: number;
  readonly threePhaseAmpsB: number;
  readonly threePhaseAmpsC: number;
  /** The middle phase of the smallest stage that was lately seen on three phases, A. */
  readonly threePhaseLowestAmps: number | null;
}

/** Smallest current a clamp-on sensor tells from nothing, A. Common practice, no source. */
const SENSOR_FLOOR_AMPS = 0.03;
const CREDIBLE_IDLE_AMPS: number = 3 * SENSOR_FLOOR_AMPS;
/** Ten minutes to twenty at usual cadence. */
const CREDIBLE_IDLE_READINGS = 10;
/** Nothing flows when a third of the lowest idle current is missed, but noise is not current. */
const MOST_DEAD_AMPS = 0.05;
/** Leakage needs a live line: with this much of it a unit without current is off, not dead. */
const LIVE_LEAKAGE_MILLIAMPS = 0.2;
/** Starts last 0.2 to 1 s; readings within five of one are not judged. Common practice. */
const START_SETTLE_MS = 5000;
const LOAD_STEP_RATIO = 1.3;
const LOAD_STEP_AMPS = 1;
/** Below this share of the largest, the smallest phase is not taken for a three-phase load. */
const THREE_PHASE_SHARE = 0.35;
const LIVE_VOLTS_SHARE = 0.3;
const DEAD_VOLTS_SHARE = 0.1;
const ROOT_THREE: number = Math.sqrt(3);

export const OPERATING_START: OperatingSlice = {
  state: 'unknown',
  atMs: null,
  sinceMs: null,
  largestAmps: 0,
  loadStepAfterMs: null,
  idleReadings: 0,
  idleLowestAmps: null,
  threePhaseAtMs: null,
  threePhaseAmpsA: 0,
  threePhaseAmpsB: 0,
  threePhaseAmpsC: 0,
  threePhaseLowestAmps: null,
};

export const OPERATING_FIELDS: FieldGuards<OperatingSlice> = {
  state: isOneOf(['running', 'idle', 'dead', 'unknown']),
  atMs: isNumberOrNull,
  sinceMs: isNumberOrNull,
  largestAmps: isNumber,
  loadStepAfterMs: isNumberOrNull,
  idleReadings: isNumber,
  idleLowestAmps: isNumberOrNull,
  threePhaseAtMs: isNumberOrNull,
  threePhaseAmpsA: isNumber,
  threePhaseAmpsB: isNumber,
  threePhaseAmpsC: isNumber,
  threePhaseLowestAmps: isNumberOrNull,
};

/**
 * Whether no two phases are live, so that nothing can run: two fuses are open, or all three. Told
 * by line voltages; by voltages to ground on a solidly grounded wye only, for no other system
 * holds every phase above ground. Currents that flow belie voltage taps that have failed.
 */
function noTwoPhasesLive(
  { groundVolts, lineVolts, currents }: Sample,
  { nominalLineVolts, solidWye }: DetectorParameters,
): boolean {
  if ((currents?.largest ?? 0) >= SENSOR_FLOOR_AMPS) return false;
  if (lineVolts !== null) return lineVolts.largest < DEAD_VOLTS_SHARE * nominalLineVolts;
  if (groundVolts === null || !solidWye) return false;
  const { a, b, c, largest, smallest } = groundVolts;
  return a + b + c - largest - smallest < (DEAD_VOLTS_SHARE * nominalLineVolts) / ROOT_THREE;
}

/** true: live, false: dead, null: not known. */
function supplyLive(sample: Sample, parameters: DetectorParameters): boolean | null {
  const { groundVolts, lineVolts } = sample;
  if (noTwoPhasesLive(sample, parameters)) return false;
  const volts = groundVolts ?? lineVolts;
  if (volts === null) return null;
  const nominal =
    groundVolts === null ? parameters.nominalLineVolts : parameters.nominalLineVolts / ROOT_THREE;
  if (volts.largest < DEAD_VOLTS_SHARE * nominal) return false;
  return volts.largest >= LIVE_VOLTS_SHARE * nominal ? true : null;
}

/** True where the unit's own idle current is known well enough to tell dead from off. */
export function idleCurrentIsCredible(slice: OperatingSlice): boolean {
  return slice.idleReadings >= CREDIBLE_IDLE_READINGS;
}

function idleCurrentIsGone(slice: OperatingSlice, { largest }: ThreePhases): boolean {
  const deadAmps = Math.min((slice.idleLowestAmps ?? 0) / 3, MOST_DEAD_AMPS);
  return idleCurrentIsCredible(slice) && largest < deadAmps;
}

/** Whether only voltages to ground are at hand, on a system that gives phases different ones. */
function isByGroundAlone(
  { groundVolts, lineVolts }: Sample,
  { solidWye }: DetectorParameters,
): boolean {
  return groundVolts !== null && lineVolts === null && !solidWye;
}

function classify(
  slice: OperatingSlice,
  currents: ThreePhases | null,
  sample: Sample,
  parameters: DetectorParameters,
): OperatingState {
  if (currents !== null && currents.largest >= parameters.runningAmps) return 'running';
  const live = supplyLive(sample, parameters);
  if (live === false) return 'dead';
  const isIdleCurrentGone = currents !== null && idleCurrentIsGone(slice, currents);
  // One live phase is enough for a voltage to ground here, and feeds nothing: fuses are open.
  if (live === true && isIdleCurrentGone && isByGroundAlone(sample, parameters)) return 'dead';
  if (live === true) return 'idle';
  if (currents === null) return 'unknown';
  if (isIdleCurrentGone) return 'dead';
  if (currents.largest >= SENSOR_FLOOR_AMPS) return 'idle';
  return (sample.leakageMilliamps ?? 0) >= LIVE_LEAKAGE_MILLIAMPS ? 'idle' : 'unknown';
}

/** One instant: currents, voltages or both. Other samples leave the slice as it is. */
export function stepOperatingState(
  slice: OperatingSlice,
  sample: Sample,
  parameters: DetectorParameters,
): OperatingSlice {
  const { currents, atMs } = sample;
  if (currents === null && sample.groundVolts === null && sample.lineVolts === null) return slice;
  const state = classify(slice, currents, sample, parameters);
  // Voltages alone tell dead from live, but not running from idle.
  if (currents === null && state !== 'dead' && slice.state !== 'dead') return slice;
  const largestAmps = currents?.largest ?? 0;
  const sameInstant = slice.atMs === atMs;
  const steppedUp =
    state === 'running' &&
    !sameInstant &&
    largestAmps >= LOAD_STEP_RATIO * slice.largestAmps &&
    largestAmps >= slice.largestAmps + LOAD_STEP_AMPS;
  const idle = currents === null ? slice : nextIdle(slice, state, largestAmps);
  const threePhase =
    currents === null || state !== 'running'
      ? slice
      : nextThreePhase(slice, currents, atMs, parameters);
  return {
    state,
    atMs,
    sinceMs: state === slice.state ? slice.sinceMs : atMs,
    largestAmps,
    loadStepAfterMs: steppedUp ? slice.atMs : slice.loadStepAfterMs,
    idleReadings: idle.idleReadings,
    idleLowestAmps: idle.idleLowestAmps,
    threePhaseAtMs: threePhase.threePhaseAtMs,
    threePhaseAmpsA: threePhase.threePhaseAmpsA,
    threePhaseAmpsB: threePhase.threePhaseAmpsB,
    threePhaseAmpsC: threePhase.threePhaseAmpsC,
    threePhaseLowestAmps: threePhase.threePhaseLowestAmps,
  };
}

/** One weak idle reading undoes two good ones: noise is forgiven, a habit is not. */
const WEAK_IDLE_PENALTY = 2;

type IdleFields = Pick<OperatingSlice, 'idleReadings' | 'idleLowestAmps'>;

function nextIdle(slice: OperatingSlice, state: OperatingState, largestAmps: number): IdleFields {
  if (state === 'running' || state === 'dead') return slice;
  if (largestAmps < CREDIBLE_IDLE_AMPS) {
    const idleReadings = Math.max(slice.idleReadings - WEAK_IDLE_PENALTY, 0);
    return { idleReadings, idleLowestAmps: idleReadings === 0 ? null : slice.idleLowestAmps };
  }
  return {
    idleReadings: Math.min(slice.idleReadings + 1, CREDIBLE_IDLE_READINGS),
    idleLowestAmps: Math.min(slice.idleLowestAmps ?? Infinity, largestAmps),
  };
}

type ThreePhaseFields = Pick<
  OperatingSlice,
  | 'threePhaseAtMs'
  | 'threePhaseAmpsA'
  | 'threePhaseAmpsB'
  | 'threePhaseAmpsC'
  | 'threePhaseLowestAmps'
>;

const MOST_OVER_MIDDLE = 1.55;
/** Falls at once to a smaller stage, forgets it slowly (a few hundred readings). */
const LOWEST_STAGE_RECOVERY = 0.005;

function nextThreePhase(
  slice: OperatingSlice,
  currents: ThreePhases,
  atMs: number,
  parameters: DetectorParameters,
): ThreePhaseFields {
  const { a, b, c, largest, smallest } = currents;
  if (smallest < THREE_PHASE_SHARE * largest || largest < parameters.runningAmps) return slice;
  const middle = a + b + c - largest - smallest;
  // Twice the others: a phase is lost ahead of a transformer, or a single-phase load runs too.
  if (largest > MOST_OVER_MIDDLE * middle) return slice;
  const lowest = slice.threePhaseLowestAmps ?? middle;
  return {
    threePhaseAtMs: atMs,
    threePhaseAmpsA: a,
    threePhaseAmpsB: b,
    threePhaseAmpsC: c,
    threePhaseLowestAmps: Math.min(middle, lowest + LOWEST_STAGE_RECOVERY * (middle - lowest)),
  };
}

/** False within five seconds of a start or of a stage that came on. */
export function isSettled(slice: OperatingSlice, atMs: number): boolean {
  return slice.loadStepAfterMs === null || atMs - slice.loadStepAfterMs > START_SETTLE_MS;
}

/** Whether a load came on since the reading before, which the reading at hand may have caught. */
export function mayStart({ loadStepAfterMs }: OperatingSlice, before: OperatingSlice): boolean {
  return loadStepAfterMs !== null && loadStepAfterMs === before.atMs;
}
