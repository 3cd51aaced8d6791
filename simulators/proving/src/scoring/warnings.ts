import type { Alarm, PriorityStep } from '@lineside/alarms';
import { PRIORITIES, type Priority } from '@lineside/anomaly';
import type { FaultTruth } from '@lineside/rooftop';
import type { ClassRules, Place } from './fault-classes.ts';
import { HOUR_MS, type ObservedUnit } from './observed-unit.ts';

/** A step of an alarm that counts as a warning of a fault. */
export interface Warning {
  readonly alarm: Alarm;
  readonly step: PriorityStep;
}

/**
 * How long before a failure a warning must come to count: a day to get somebody onto the roof. An
 * emergency asks for no lead: its limits only promise that it goes on now. Common practice.
 */
export const LEAD_MS: Readonly<Record<Priority, number>> = {
  routine: 24 * HOUR_MS,
  urgent: 24 * HOUR_MS,
  emergency: 0,
};

/** Whether priority `one` is at least `other`. */
export function isAtLeast(one: Priority, other: Priority): boolean {
  return PRIORITIES.indexOf(one) >= PRIORITIES.indexOf(other);
}

/**
 * The first step of any alarm that warns of the fault at `priority` or above: of a kind that warns
 * of its class, dated from the onset on, and before the fault ends (its failure included: what
 * comes later is told by the delay of the failure). Steps at one moment: the higher priority first.
 * Whether it comes early enough is another question.
 */
export function firstWarning(
  fault: FaultTruth,
  rules: ClassRules,
  unit: ObservedUnit,
  priority: Priority,
): Warning | null {
  const untilMs = warnableUntilMs(fault, rules, unit.endMs);
  let first: Warning | null = null;
  for (const alarm of unit.alarms) {
    const leastPriority = rules.warns[alarm.kind];
    if (leastPriority === undefined) continue;
    for (const step of alarm.priorities) {
      if (step.sinceMs < fault.onsetMs || step.sinceMs > untilMs) continue;
      if (!isAtLeast(step.priority, leastPriority) || !isAtLeast(step.priority, priority)) continue;
      if (first === null || comesBefore(step, first.step)) first = { alarm, step };
    }
  }
  return first;
}

function comesBefore(one: PriorityStep, other: PriorityStep): boolean {
  if (one.sinceMs !== other.sinceMs) return one.sinceMs < other.sinceMs;
  return one.priority !== other.priority && isAtLeast(one.priority, other.priority);
}

function warnableUntilMs(fault: FaultTruth, rules: ClassRules, endMs: number): number {
  const lastMs = fault.endedMs ?? endMs;
  if (rules.asks === 'after-evidence' || fault.failureMs === null) return lastMs;
  return Math.min(lastMs, fault.failureMs);
}

/** Whether the warning comes with the lead that its priority asks for. */
export function isInTime(
  warning: Warning | null,
  fault: FaultTruth,
  rules: ClassRules,
  priority: Priority,
): boolean {
  if (warning === null) return false;
  if (rules.asks === 'after-evidence' || fault.failureMs === null) return true;
  return warning.step.sinceMs <= fault.failureMs - LEAD_MS[priority];
}

/** Whether the first-ranked cause of the step names the class. */
export function namesCause({ step }: Warning, rules: ClassRules): boolean {
  const top = step.causes[0];
  return top !== undefined && rules.causes.includes(top.cause);
}

/**
 * What a warning says about the place. The alarm's own evidence (`side`) tells, when the step is
 * its newest; before that the first-ranked cause does. null: it does not commit itself.
 */
export function saidPlace({ alarm, step }: Warning): Place | null {
  const side = alarm.evidence['side'];
  if (step === alarm.priorities.at(-1) && side !== undefined) {
    return side === 'line' || side === 'load' ? side : null;
  }
  const cause = step.causes[0]?.cause;
  if (cause === 'line-side-track-to-ground' || cause === 'pole-to-pole-track') return 'line';
  return cause === 'load-insulation' ? 'load' : null;
}
