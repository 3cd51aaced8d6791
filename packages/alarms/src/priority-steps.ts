import { PRIORITIES, type Priority } from '@lineside/anomaly';
import type { PriorityStep } from './alarm.ts';

/**
 * Steps that an alarm keeps. Rises are two at most; the rest are reopenings of an alarm that comes
 * and goes for days, each within the hour, and the journal has all of those.
 */
export const PRIORITY_STEPS_MOST = 100;

/** True when `a` is more urgent than `b`. */
export function isMoreUrgent(a: Priority, b: Priority): boolean {
  return PRIORITIES.indexOf(a) > PRIORITIES.indexOf(b);
}

/**
 * Adds a step in order of time. Beyond `PRIORITY_STEPS_MOST` the oldest step that was no rise goes,
 * so that the first step, each rise and the newest reopenings stay.
 */
export function withStep(
  steps: readonly PriorityStep[],
  step: PriorityStep,
): readonly PriorityStep[] {
  const all = [...steps, step].sort((a, b) => a.sinceMs - b.sinceMs);
  if (all.length <= PRIORITY_STEPS_MOST) return all;
  const dropped = all.findIndex((one, index) => !isRise(one, all.slice(0, index)));
  return all.filter((_, index) => index !== dropped);
}

function isRise(step: PriorityStep, before: readonly PriorityStep[]): boolean {
  return before.every(({ priority }) => isMoreUrgent(step.priority, priority));
}
