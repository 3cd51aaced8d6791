import type { Alarm } from '@lineside/alarms';
import { NOW_MS } from './running-ingest.ts';

/** A leakage alarm that was raised a minute ago. */
export function anAlarm(overrides: Partial<Alarm> = {}): Alarm {
  return {
    id: 'a1',
    site: 'harbour-mall',
    unit: 'rtu-01',
    kind: 'leakage',
    priority: 'urgent',
    state: 'unacknowledged',
    standing: true,
    raisedAtMs: NOW_MS - 60_000,
    clearedAtMs: null,
    acknowledgedAtMs: null,
    acknowledgedBy: null,
    shelvedUntilMs: null,
    shelvedBy: null,
    shelveReason: null,
    priorities: [{ priority: 'urgent', sinceMs: NOW_MS - 60_000, causes: [] }],
    headline: 'Leakage to ground 14 mA',
    evidence: { leakageMilliamps: 14 },
    causes: [{ cause: 'unknown', probability: 1, because: ['a test'] }],
    withdrawn: false,
    revision: 1,
    ...overrides,
  };
}
