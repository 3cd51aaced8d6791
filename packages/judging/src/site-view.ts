import type { Alarm } from '@lineside/alarms';
import {
  bearing,
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
 * known. Same as what `withNeighbours` makes of each finding behind it.
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
  const priorities = alarm.priorities.map((step) => {
    const sinceMs = awaySinceMs(own, alarm.kind, step.sinceMs);
    const heardMs = alarm.kind === 'silent' ? nowMs : null;
    const view = sinceMs === null ? null : neighbourView(others, sinceMs, heardMs);
    const borne =
      view === null ? null : bearing(alarm.kind, { ...step, headline: alarm.headline }, view);
    newest = borne === null ? null : view;
    if (borne === null) return step;
    headline = borne.headline;
    return { ...step, priority: borne.priority, causes: borne.causes };
  });
  const view = newest as NeighbourView | null;
  const last = priorities.at(-1);
  if (view === null || last === undefined) return { ...alarm, priorities };
  const highest = Math.max(...priorities.map(({ priority }) => PRIORITIES.indexOf(priority)));
  const evidence = {
    ...alarm.evidence,
    neighboursDeadToo: view.together,
    neighboursLive: view.carriedOn,
  };
  const priority = PRIORITIES[highest] ?? alarm.priority;
  return { ...alarm, priorities, priority, headline, causes: last.causes, evidence };
}
