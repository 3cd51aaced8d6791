import type { Alarm } from '@lineside/alarms';
import { DAY_MS, MONTH_MS, type ObservedUnit } from './observed-unit.ts';
import { isAtLeast } from './warnings.ts';

/** How restless the alarms are. */
export interface ChatterScore {
  readonly alarms: number;
  /** Steps that do not lift the priority: the alarm had cleared and came back within the hour. */
  readonly reopens: number;
  /** (alarms + reopens) / alarms; null without alarms. */
  readonly raisesPerAlarm: number | null;
  readonly raisesPerUnitMonth: number | null;
  /** Alarms of a unit and kind raised within 24 h after the one before them cleared. */
  readonly repeatsWithinDay: number;
}

/**
 * Counts raises, reopenings and repeats. A reopening that lifts the priority in the same moment
 * looks like an escalation in an alarm and is counted as one.
 */
export function scoreChatter(units: readonly ObservedUnit[]): ChatterScore {
  const all = units.flatMap(({ alarms }) => alarms);
  const observedMs = units.reduce((sum, unit) => sum + unit.observedMs, 0);
  const reopens = all.reduce((sum, alarm) => sum + reopensOf(alarm), 0);
  const raises = all.length + reopens;
  return {
    alarms: all.length,
    reopens,
    raisesPerAlarm: all.length > 0 ? raises / all.length : null,
    raisesPerUnitMonth: observedMs > 0 ? raises / (observedMs / MONTH_MS) : null,
    repeatsWithinDay: units.reduce((sum, { alarms }) => sum + repeatsOf(alarms), 0),
  };
}

function reopensOf({ priorities }: Alarm): number {
  return priorities.filter(
    ({ priority }, index) =>
      index > 0 &&
      priorities.slice(0, index).some((before) => isAtLeast(before.priority, priority)),
  ).length;
}

function repeatsOf(alarms: readonly Alarm[]): number {
  const clearedMs = new Map<string, number>();
  let repeats = 0;
  for (const alarm of alarms.toSorted((one, other) => one.raisedAtMs - other.raisedAtMs)) {
    const before = clearedMs.get(alarm.kind);
    if (before !== undefined && alarm.raisedAtMs - before <= DAY_MS) repeats += 1;
    clearedMs.set(alarm.kind, alarm.clearedAtMs ?? Infinity);
  }
  return repeats;
}
