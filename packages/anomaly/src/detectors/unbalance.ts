import { type FieldGuards, hasShape, isNumberOrNull, isOneOf } from '../field-guards.ts';
import { isHigher } from '../priority-order.ts';
import { type FindingChange, PRIORITIES, type Priority } from '../vocabulary.ts';
import { type DetectorStep, NO_CHANGES } from './detector-step.ts';
import type { OperatingSlice } from './operating-state.ts';
import type { DetectorParameters } from './parameters.ts';
import type { Sample } from './sample.ts';
import {
  CURRENT_UNBALANCE_FIELDS,
  CURRENT_UNBALANCE_START,
  type CurrentJudgement,
  type CurrentUnbalance,
  currentIsCalm,
  currentPriority,
  stepCurrentUnbalance,
} from './unbalance-current.ts';
import {
  howItCame,
  type UnbalanceCame,
  unbalanceFinding,
  voltageExplains,
} from './unbalance-finding.ts';
import {
  stepVoltageUnbalance,
  VOLTAGE_UNBALANCE_FIELDS,
  VOLTAGE_UNBALANCE_START,
  type VoltageUnbalance,
  voltageIsCalm,
  voltagePriority,
} from './unbalance-voltage.ts';

/**
 * Unbalance of phase currents while running, against the learned stage, and of line voltages at
 * any time (NEMA MG 1).
 *
 * Uses: `ia ib ic`, `vab vbc vca`; the unit's limits. Holds: current 30 min routine, 15 min urgent,
 * of running time; voltage 30 min routine, 30 min urgent, 5 min emergency. A drive, whose
 * rectifier draws unevenly in health, gets twice the limits for current.
 */
export interface UnbalanceSlice {
  readonly current: CurrentUnbalance;
  readonly voltage: VoltageUnbalance;
  readonly standing: Priority | null;
  /** Which of the two raised it. */
  readonly raisedBy: 'current' | 'voltage' | 'both' | null;
  /** How the currents of the finding that stands had become uneven; null: that does not show. */
  readonly came: UnbalanceCame;
  /** When the newest finding was closed: one soon after is the same, and came as it had. */
  readonly closedAtMs: number | null;
}

const SAME_FINDING_MS: number = 14 * 24 * 3_600_000;

export const UNBALANCE_START: UnbalanceSlice = {
  current: CURRENT_UNBALANCE_START,
  voltage: VOLTAGE_UNBALANCE_START,
  standing: null,
  raisedBy: null,
  came: null,
  closedAtMs: null,
};

export const UNBALANCE_FIELDS: FieldGuards<UnbalanceSlice> = {
  current: hasShape(CURRENT_UNBALANCE_FIELDS),
  voltage: hasShape(VOLTAGE_UNBALANCE_FIELDS),
  standing: isOneOf([null, ...PRIORITIES]),
  raisedBy: isOneOf([null, 'current', 'voltage', 'both']),
  came: isOneOf([null, 'at-once', 'by-and-by']),
  closedAtMs: isNumberOrNull,
};

/** To be called for settled instants that bring currents or line voltages. */
export function stepUnbalance(
  slice: UnbalanceSlice,
  sample: Sample,
  operating: OperatingSlice,
  parameters: DetectorParameters,
): DetectorStep<UnbalanceSlice> {
  const { currents, lineVolts, atMs } = sample;
  const voltage =
    lineVolts === null
      ? slice.voltage
      : stepVoltageUnbalance(slice.voltage, lineVolts, atMs, parameters);
  let judged: CurrentJudgement | null = null;
  if (currents !== null) {
    judged = stepCurrentUnbalance(slice.current, currents, atMs, {
      operating,
      parameters,
      voltageExplains: voltageExplains(voltage, atMs),
      standing: slice.raisedBy === 'current' || slice.raisedBy === 'both',
    });
  }
  if (judged === null && voltage === slice.voltage) return { slice, changes: NO_CHANGES };
  const { standing, raisedBy, came, closedAtMs } = slice;
  const current = judged?.slice ?? slice.current;
  const next = { current, voltage, standing, raisedBy, came, closedAtMs };
  return judge(next, sample, judged, parameters);
}

function judge(
  slice: UnbalanceSlice,
  sample: Sample,
  judged: CurrentJudgement | null,
  parameters: DetectorParameters,
): DetectorStep<UnbalanceSlice> {
  const { atMs } = sample;
  const current = judged?.excess === null ? null : currentPriority(slice.current);
  const voltage = voltagePriority(slice.voltage);
  if (slice.standing !== null && current === null && voltage === null && isOver(slice)) {
    const changes: readonly FindingChange[] = [{ change: 'closed', kind: 'unbalance', atMs }];
    return { slice: { ...slice, standing: null, raisedBy: null, closedAtMs: atMs }, changes };
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
    came: isSameFinding(slice, atMs) ? slice.came : howItCame(judged, parameters),
  };
  const change = slice.standing === null ? 'opened' : 'escalated';
  const finding = unbalanceFinding(change, reached, by, next, sample, judged, parameters);
  return { slice: next, changes: [finding] };
}

function isSameFinding({ standing, closedAtMs }: UnbalanceSlice, atMs: number): boolean {
  return standing !== null || (closedAtMs !== null && atMs - closedAtMs <= SAME_FINDING_MS);
}

/** True when what raised the finding has been calm for long enough. */
function isOver({ raisedBy, current, voltage }: UnbalanceSlice): boolean {
  return (
    (raisedBy === 'voltage' || currentIsCalm(current)) &&
    (raisedBy === 'current' || voltageIsCalm(voltage))
  );
}
