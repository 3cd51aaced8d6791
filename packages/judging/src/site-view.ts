import type { Alarm, PriorityStep } from '@lineside/alarms';
import {
  bearing,
  leftBehind,
  leftBehindMs,
  type NeighbourView,
  neighbourView,
  type PowerSlice,
  PRIORITIES,
  withoutPowerSinceMs,
} from '@lineside/anomaly';

/** When the unit itself was last heard or had power, before a finding of that moment. */
export function awaySinceMs(own: PowerSlice, kind: Alarm['kind'], atMs: number): number | null {
  if (kind === 'supply-loss') return withoutPowerSinceMs(own, atMs);
  return kind === 'silent' ? (withoutPowerSinceMs(own, atMs) ?? own.atMs) : null;
}

/**
 * An alarm of a dead or silent unit as its neighbours make it, once all events of the site are
 * known. Same as what `withNeighbours` makes of each finding behind it; besides, an outage becomes
 * urgent for a unit that stays dead when the others have power again.
 *
 * @param nowMs up to when is known who is silent; null: not known.
 */
export function alarmWithNeighbours(
  alarm: Alarm,
  own: PowerSlice,
  others: readonly PowerSlice[],
  nowMs: number | null,
): Alarm {
  let newest: NeighbourView | null = null;
  let { headline } = alarm;
  const priorities = alarm.priorities.flatMap((step): PriorityStep | PriorityStep[] => {
    const sinceMs = awaySinceMs(own, alarm.kind, step.sinceMs);
    const heardMs = alarm.kind === 'silent' ? nowMs : null;
    const view = sinceMs === null ? null : neighbourView(others, sinceMs, heardMs);
    const borne =
      view === null ? null : bearing(alarm.kind, { ...step, headline: alarm.headline }, view);
    newest = borne === null ? null : view;
    if (borne === null) return step;
    headline = borne.headline;
    const now = { ...step, priority: borne.priority, causes: borne.causes };
    const later = afterOutage(alarm, now, own, others);
    if (later === null || view === null) return now;
    const behind = leftBehind(step.causes, view);
    headline = behind.headline;
    return [now, { priority: behind.priority, sinceMs: later, causes: behind.causes }];
  });
  const view = newest as NeighbourView | null;
  const last = priorities.at(-1);
  if (view === null || last === undefined) return { ...alarm, priorities };
  const wasReconsidered = typeof alarm.evidence['reconsideredAtMs'] === 'number';
  const highest = Math.max(...priorities.map(({ priority }) => PRIORITIES.indexOf(priority)));
  const evidence = {
    ...alarm.evidence,
    neighboursDeadToo: view.together,
    neighboursLive: view.carriedOn,
  };
  const priority = PRIORITIES[highest] ?? alarm.priority;
  return {
    ...alarm,
    priorities,
    priority,
    headline,
    causes: wasReconsidered ? alarm.causes : last.causes,
    evidence,
  };
}

/** When a unit in an outage turned out to be left behind by it, while its alarm stood; else null. */
function afterOutage(
  { kind, clearedAtMs }: Alarm,
  { priority, sinceMs }: PriorityStep,
  own: PowerSlice,
  others: readonly PowerSlice[],
): number | null {
  if (kind !== 'supply-loss' || priority !== 'routine') return null;
  const deadMs = awaySinceMs(own, kind, sinceMs);
  const behindMs = deadMs === null ? null : leftBehindMs(own, others, deadMs);
  if (behindMs === null || behindMs <= sinceMs) return null;
  return behindMs < (clearedAtMs ?? Infinity) ? behindMs : null;
}
