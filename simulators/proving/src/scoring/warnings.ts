import type { Alarm, PriorityStep } from '@lineside/alarms';
import { PRIORITIES, type Priority } from '@lineside/anomaly';
import type { FaultTruth } from '@lineside/rooftop';
import { CLASS_RULES, type ClassRules, classOf, type Place } from './fault-classes.ts';
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
 * The first step of any alarm that warns of the fault at `priority` or above: of a kind (or with a
 * first-ranked cause) that warns of its class, dated from the onset on, and before the fault ends (its failure included: what
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
    for (const step of alarm.priorities) {
      if (step.sinceMs < fault.onsetMs || step.sinceMs > untilMs) continue;
      if (!warns(alarm, step, rules) || !isAtLeast(step.priority, priority)) continue;
      if (first === null || comesBefore(step, first.step)) first = { alarm, step };
    }
  }
  return first;
}

function warns(alarm: Alarm, step: PriorityStep, rules: ClassRules): boolean {
  const leastPriority = rules.warns[alarm.kind];
  if (leastPriority !== undefined && isAtLeast(step.priority, leastPriority)) return true;
  const cause = step.causes[0]?.cause;
  return cause !== undefined && rules.warnsByCause.includes(cause);
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

/**
 * Whether the first-ranked cause of the step names the fault, or another one of the unit that is
 * there at that moment and that the alarm warns of too: an alarm can name but one first.
 */
export function namesCause(warning: Warning, unit: ObservedUnit): boolean {
  const top = warning.step.causes[0];
  if (top === undefined) return false;
  return rulesMeant(warning, unit).some(({ causes }) => causes.includes(top.cause));
}

/** Whether a warning says the right place, a wrong one, or does not commit itself. */
export function placeSaid(warning: Warning, unit: ObservedUnit): 'right' | 'wrong' | 'uncommitted' {
  const said = saidPlace(warning);
  if (said === null) return 'uncommitted';
  return rulesMeant(warning, unit).some(({ place }) => place === said) ? 'right' : 'wrong';
}

/** The rules of all faults that are there at the step and that its alarm warns of. */
function rulesMeant({ alarm, step }: Warning, unit: ObservedUnit): readonly ClassRules[] {
  return unit.truth.faults
    .filter(({ onsetMs, endedMs }) => {
      return step.sinceMs >= onsetMs && step.sinceMs <= (endedMs ?? unit.endMs);
    })
    .map((fault) => CLASS_RULES[classOf(fault)])
    .filter((rules) => warns(alarm, step, rules));
}

/**
 * The alarm's own evidence (`side`) tells the place, when the step is its newest; before that the
 * first-ranked cause does.
 */
function saidPlace({ alarm, step }: Warning): Place | null {
  const side = alarm.evidence['side'];
  if (step === alarm.priorities.at(-1) && side !== undefined) {
    return side === 'line' || side === 'load' ? side : null;
  }
  const cause = step.causes[0]?.cause;
  if (cause === 'line-side-track-to-ground' || cause === 'pole-to-pole-track') return 'line';
  return cause === 'load-insulation' ? 'load' : null;
}
