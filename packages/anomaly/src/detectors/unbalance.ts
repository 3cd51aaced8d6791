import { unbalancePercent } from '@lineside/physics';
import { type FieldGuards, isNumberOrNull, isOneOf } from '../field-guards.ts';
import { isHigher } from '../priority-order.ts';
import { type FindingChange, PRIORITIES, type Priority } from '../vocabulary.ts';
import { type DetectorStep, NO_CHANGES } from './detector-step.ts';
import { type DwellMs, hasDwelt, nextDwell } from './dwell.ts';
import type { OperatingSlice } from './operating-state.ts';
import type { DetectorParameters } from './parameters.ts';
import type { Sample, ThreePhases } from './sample.ts';
import { unbalanceFinding } from './unbalance-finding.ts';

/**
 * Unbalance of phase currents while running, and of line voltages at any time (NEMA MG 1).
 *
 * Uses: `ia ib ic` while running with every phase carrying, `vab vbc vca`; the unit's limits.
 * Holds: current 30 min routine, 15 min urgent, of running time; voltage 30 min routine, 30 min
 * urgent, 5 min emergency. What a running stage normally has is not learned in this step (the
 * evidence says so): two-pole loads on the nameplate are allowed for, and a drive, whose rectifier
 * draws unevenly in health, gets twice the limits for current.
 */
export interface UnbalanceSlice {
  readonly currentAtMs: number | null;
  readonly currentPercent: number | null;
  readonly currentOverRoutineMs: DwellMs;
  readonly currentOverUrgentMs: DwellMs;
  readonly currentCalmMs: DwellMs;
  /** The load that was last seen unbalanced, A, and when: calm is judged under a like load. */
  readonly currentOverAmps: number | null;
  readonly currentOverAtMs: number | null;
  readonly voltageAtMs: number | null;
  readonly voltagePercent: number | null;
  readonly voltageOverRoutineMs: DwellMs;
  readonly voltageOverUrgentMs: DwellMs;
  readonly voltageOverEmergencyMs: DwellMs;
  readonly voltageCalmMs: DwellMs;
  readonly standing: Priority | null;
  /** Which of the two raised it. */
  readonly raisedBy: 'current' | 'voltage' | 'both' | null;
}

const MINUTE_MS = 60_000;
/** Common practice; a compressor's winding warms in that time. */
const CURRENT_ROUTINE_HOLD_MS: number = 30 * MINUTE_MS;
const CURRENT_URGENT_HOLD_MS: number = 15 * MINUTE_MS;
const VOLTAGE_HOLD_MS: number = 30 * MINUTE_MS;
const VOLTAGE_EMERGENCY_HOLD_MS: number = 5 * MINUTE_MS;
/** Closes after this long below four fifths of the routine limit. */
const UNBALANCE_CLOSING_MS: number = 30 * MINUTE_MS;
const CLOSING_SHARE = 0.8;
/** A phase below this share of the mean is a lost phase, not an uneven one. */
const CARRYING_SHARE = 0.15;
/** Small currents read uneven by the sensors' error alone. */
const LEAST_MEAN_AMPS = 2;
const LIVE_VOLTS_SHARE = 0.5;
/** No supply is this uneven: an open fuse shows voltages fed back through the motors. */
const LEAST_EVEN_SHARE = 0.8;
/** A stage within this share of the unbalanced one carries the same loads. */
const LIKE_LOAD_SHARE = 0.3;
/** If the unbalanced stage does not run for so long, any even running ends the finding. */
const LIKE_LOAD_MEMORY_MS: number = 72 * 60 * MINUTE_MS;
const DRIVE_ALLOWANCE = 2;
/** A motor's current is not its full-load amps to the last per cent. */
const TWO_POLE_MARGIN = 1.3;

export const UNBALANCE_START: UnbalanceSlice = {
  currentAtMs: null,
  currentPercent: null,
  currentOverRoutineMs: null,
  currentOverUrgentMs: null,
  currentCalmMs: null,
  currentOverAmps: null,
  currentOverAtMs: null,
  voltageAtMs: null,
  voltagePercent: null,
  voltageOverRoutineMs: null,
  voltageOverUrgentMs: null,
  voltageOverEmergencyMs: null,
  voltageCalmMs: null,
  standing: null,
  raisedBy: null,
};

export const UNBALANCE_FIELDS: FieldGuards<UnbalanceSlice> = {
  currentAtMs: isNumberOrNull,
  currentPercent: isNumberOrNull,
  currentOverRoutineMs: isNumberOrNull,
  currentOverUrgentMs: isNumberOrNull,
  currentCalmMs: isNumberOrNull,
  currentOverAmps: isNumberOrNull,
  currentOverAtMs: isNumberOrNull,
  voltageAtMs: isNumberOrNull,
  voltagePercent: isNumberOrNull,
  voltageOverRoutineMs: isNumberOrNull,
  voltageOverUrgentMs: isNumberOrNull,
  voltageOverEmergencyMs: isNumberOrNull,
  voltageCalmMs: isNumberOrNull,
  standing: isOneOf([null, ...PRIORITIES]),
  raisedBy: isOneOf([null, 'current', 'voltage', 'both']),
};

/** To be called for settled instants that bring currents or line voltages. */
export function stepUnbalance(
  slice: UnbalanceSlice,
  sample: Sample,
  operating: OperatingSlice,
  parameters: DetectorParameters,
): DetectorStep<UnbalanceSlice> {
  let next = slice;
  const { currents, lineVolts, atMs } = sample;
  if (currents !== null && operating.state === 'running' && isThreePhaseLoad(currents)) {
    next = stepCurrent(next, currents, atMs, operating, parameters);
  }
  if (lineVolts !== null && isLive(lineVolts, parameters)) {
    next = stepVoltage(next, lineVolts, atMs, parameters);
  }
  return next === slice ? { slice, changes: NO_CHANGES } : judge(next, sample);
}

function isThreePhaseLoad({ a, b, c, smallest }: ThreePhases): boolean {
  const mean = (a + b + c) / 3;
  return mean >= LEAST_MEAN_AMPS && smallest >= CARRYING_SHARE * mean;
}

function isLive(volts: ThreePhases, parameters: DetectorParameters): boolean {
  return (
    volts.smallest >= LIVE_VOLTS_SHARE * parameters.nominalLineVolts &&
    volts.smallest >= LEAST_EVEN_SHARE * volts.largest
  );
}

function stepCurrent(
  slice: UnbalanceSlice,
  currents: ThreePhases,
  atMs: number,
  operating: OperatingSlice,
  parameters: DetectorParameters,
): UnbalanceSlice {
  const { limits } = parameters;
  const percent = unbalancePercent(currents.a, currents.b, currents.c);
  const unexplained = unexplainedPercent(currents, parameters);
  // Only running time counts: a pause between two cycles neither helps nor harms.
  const fromMs = Math.max(slice.currentAtMs ?? atMs, operating.sinceMs ?? atMs);
  const elapsedMs = atMs - fromMs;
  const allowance = parameters.drive ? DRIVE_ALLOWANCE : 1;
  const routine = allowance * limits.currentUnbalanceRoutinePercent;
  const calm = unexplained < CLOSING_SHARE * routine;
  const urgent = allowance * limits.currentUnbalanceUrgentPercent;
  return {
    currentAtMs: atMs,
    currentPercent: percent,
    currentOverRoutineMs: nextDwell(
      slice.currentOverRoutineMs,
      unexplained > routine,
      elapsedMs,
      CURRENT_ROUTINE_HOLD_MS,
    ),
    currentOverUrgentMs: nextDwell(
      slice.currentOverUrgentMs,
      unexplained > urgent,
      elapsedMs,
      CURRENT_URGENT_HOLD_MS,
    ),
    currentCalmMs:
      calm && !isLikeLoad(slice, currents, atMs)
        ? slice.currentCalmMs
        : nextCalm(slice.currentCalmMs, calm, elapsedMs),
    currentOverAmps: unexplained > routine ? currents.largest : slice.currentOverAmps,
    currentOverAtMs: unexplained > routine ? atMs : slice.currentOverAtMs,
    // Field by field: spreading is several times slower, and this runs for each reading.
    voltageAtMs: slice.voltageAtMs,
    voltagePercent: slice.voltagePercent,
    voltageOverRoutineMs: slice.voltageOverRoutineMs,
    voltageOverUrgentMs: slice.voltageOverUrgentMs,
    voltageOverEmergencyMs: slice.voltageOverEmergencyMs,
    voltageCalmMs: slice.voltageCalmMs,
    standing: slice.standing,
    raisedBy: slice.raisedBy,
  };
}

/** True when this load would show the unbalance that was seen, or that was too long ago. */
function isLikeLoad(slice: UnbalanceSlice, { largest }: ThreePhases, atMs: number): boolean {
  const { currentOverAmps, currentOverAtMs } = slice;
  if (currentOverAmps === null || currentOverAtMs === null) return true;
  if (atMs - currentOverAtMs > LIKE_LOAD_MEMORY_MS) return true;
  return Math.abs(largest - currentOverAmps) <= LIKE_LOAD_SHARE * currentOverAmps;
}

/** What is left once the two-pole loads of the nameplate are taken off the two higher phases. */
function unexplainedPercent(
  { a, b, c, largest, smallest }: ThreePhases,
  { twoPoleAmps }: DetectorParameters,
): number {
  if (twoPoleAmps === 0) return unbalancePercent(a, b, c);
  const middle = a + b + c - largest - smallest;
  const taken = Math.min(TWO_POLE_MARGIN * twoPoleAmps, middle - smallest);
  return unbalancePercent(smallest, middle - taken, largest - taken);
}

function stepVoltage(
  slice: UnbalanceSlice,
  volts: ThreePhases,
  atMs: number,
  { limits }: DetectorParameters,
): UnbalanceSlice {
  const percent = unbalancePercent(volts.a, volts.b, volts.c);
  const elapsedMs = atMs - (slice.voltageAtMs ?? atMs);
  const routine = limits.voltageUnbalanceRoutinePercent;
  return {
    currentAtMs: slice.currentAtMs,
    currentPercent: slice.currentPercent,
    currentOverRoutineMs: slice.currentOverRoutineMs,
    currentOverUrgentMs: slice.currentOverUrgentMs,
    currentCalmMs: slice.currentCalmMs,
    currentOverAmps: slice.currentOverAmps,
    currentOverAtMs: slice.currentOverAtMs,
    standing: slice.standing,
    raisedBy: slice.raisedBy,
    voltageAtMs: atMs,
    voltagePercent: percent,
    voltageOverRoutineMs: nextDwell(
      slice.voltageOverRoutineMs,
      percent > routine,
      elapsedMs,
      VOLTAGE_HOLD_MS,
    ),
    voltageOverUrgentMs: nextDwell(
      slice.voltageOverUrgentMs,
      percent > limits.voltageUnbalanceUrgentPercent,
      elapsedMs,
      VOLTAGE_HOLD_MS,
    ),
    voltageOverEmergencyMs: nextDwell(
      slice.voltageOverEmergencyMs,
      percent > limits.voltageUnbalanceEmergencyPercent,
      elapsedMs,
      VOLTAGE_EMERGENCY_HOLD_MS,
    ),
    voltageCalmMs: nextCalm(slice.voltageCalmMs, percent < CLOSING_SHARE * routine, elapsedMs),
  };
}

/** Calm has to last without a break. */
function nextCalm(calmMs: DwellMs, calm: boolean, elapsedMs: number): DwellMs {
  return calm ? nextDwell(calmMs, true, elapsedMs, UNBALANCE_CLOSING_MS) : null;
}

function currentPriority(slice: UnbalanceSlice): Priority | null {
  if (hasDwelt(slice.currentOverUrgentMs, CURRENT_URGENT_HOLD_MS)) return 'urgent';
  return hasDwelt(slice.currentOverRoutineMs, CURRENT_ROUTINE_HOLD_MS) ? 'routine' : null;
}

function voltagePriority(slice: UnbalanceSlice): Priority | null {
  if (hasDwelt(slice.voltageOverEmergencyMs, VOLTAGE_EMERGENCY_HOLD_MS)) return 'emergency';
  if (hasDwelt(slice.voltageOverUrgentMs, VOLTAGE_HOLD_MS)) return 'urgent';
  return hasDwelt(slice.voltageOverRoutineMs, VOLTAGE_HOLD_MS) ? 'routine' : null;
}

function judge(slice: UnbalanceSlice, sample: Sample): DetectorStep<UnbalanceSlice> {
  const { atMs } = sample;
  const current = currentPriority(slice);
  const voltage = voltagePriority(slice);
  if (slice.standing !== null && current === null && voltage === null && isOver(slice)) {
    const changes: readonly FindingChange[] = [{ change: 'closed', kind: 'unbalance', atMs }];
    return { slice: { ...slice, standing: null, raisedBy: null }, changes };
  }
  const byVoltage = voltage !== null && (current === null || !isHigher(current, voltage));
  const reached = byVoltage ? voltage : current;
  if (reached === null || !isHigher(reached, slice.standing)) {
    return { slice, changes: NO_CHANGES };
  }
  const by = byVoltage ? 'voltage' : 'current';
  const next: UnbalanceSlice = {
    ...slice,
    standing: reached,
    raisedBy: slice.raisedBy === null || slice.raisedBy === by ? by : 'both',
  };
  const change = slice.standing === null ? 'opened' : 'escalated';
  return { slice: next, changes: [unbalanceFinding(change, reached, by, next, sample)] };
}

/** True when what raised the finding has been calm for long enough. */
function isOver({ raisedBy, currentCalmMs, voltageCalmMs }: UnbalanceSlice): boolean {
  const currentCalm = raisedBy === 'voltage' || hasDwelt(currentCalmMs, UNBALANCE_CLOSING_MS);
  const voltageCalm = raisedBy === 'current' || hasDwelt(voltageCalmMs, UNBALANCE_CLOSING_MS);
  return currentCalm && voltageCalm;
}
