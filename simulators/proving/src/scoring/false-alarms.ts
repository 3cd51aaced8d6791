import { PRIORITIES, type Priority } from '@lineside/anomaly';
import { isExplained } from './explained.ts';
import { type ObservedUnit, YEAR_MS } from './observed-unit.ts';

/** Alarms that nothing in the truth explains. */
export interface FalseAlarmScore {
  readonly unitYears: number;
  /** By the highest priority that the alarm reached. */
  readonly count: Readonly<Record<Priority, number>>;
  readonly total: number;
  /** `total` over `unitYears`; null when nothing was observed. */
  readonly perUnitYear: number | null;
}

export function scoreFalseAlarms(units: readonly ObservedUnit[]): FalseAlarmScore {
  const count: Record<Priority, number> = { routine: 0, urgent: 0, emergency: 0 };
  let observedMs = 0;
  for (const unit of units) {
    observedMs += unit.observedMs;
    for (const alarm of unit.alarms) {
      if (!isExplained(alarm, unit.truth)) count[alarm.priority] += 1;
    }
  }
  const total = PRIORITIES.reduce((sum, priority) => sum + count[priority], 0);
  const unitYears = observedMs / YEAR_MS;
  return { unitYears, count, total, perUnitYear: unitYears > 0 ? total / unitYears : null };
}
