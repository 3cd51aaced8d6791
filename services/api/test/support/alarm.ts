import type { Alarm, AlarmJournalEntry } from '@lineside/alarms';

/** 2026-01-10T04:00:00Z */
export const RAISED_MS = Date.UTC(2026, 0, 10, 4);

export function alarmOf(id: string, more: Partial<Alarm> = {}): Alarm {
  const causes = [
    { cause: 'line-side-track-to-ground', probability: 0.86, because: ['it rises when wet'] },
  ] as const;
  return {
    id,
    site: 'harbour',
    unit: 'rtu-01',
    kind: 'leakage',
    priority: 'urgent',
    state: 'unacknowledged',
    standing: true,
    raisedAtMs: RAISED_MS,
    clearedAtMs: null,
    acknowledgedAtMs: null,
    acknowledgedBy: null,
    shelvedUntilMs: null,
    shelvedBy: null,
    shelveReason: null,
    priorities: [{ priority: 'urgent', sinceMs: RAISED_MS, causes }],
    headline: 'Leakage to ground 14 mA, rising, line side',
    evidence: { leakageMilliamps: 14 },
    causes,
    withdrawn: false,
    revision: 1,
    ...more,
  };
}

export function raiseOf(alarm: Alarm): AlarmJournalEntry {
  return {
    atMs: alarm.raisedAtMs,
    event: 'raise',
    from: null,
    to: alarm.state,
    by: 'watch',
    note: null,
    alarm,
  };
}
