import { type Alarm, type AlarmJournalEntry, actOnAlarm, applyFinding } from '@lineside/alarms';
import type { FindingKind, Priority } from '@lineside/anomaly';
import { parseRotaFile, type Rota } from '@lineside/oncall';
import fc from 'fast-check';
import { MINUTE_MS } from './sample-asks.ts';

/** A team of two for pier-nine; other sites go to the office. Everybody is invented. */
export const PIER_ROTA: Rota = parseRotaFile(
  `people:
  - { id: ana, name: Ana Reyes, contacts: [ana-phone] }
  - { id: ben, name: Ben Okafor, contacts: [ben-phone] }
office: { name: Front desk, contacts: [office-desk] }
teams:
  - id: north
    name: North crew
    zone: UTC
    sites: [pier-nine]
    first:
      - { from: 2026-01-05, handOver: { weekday: monday, time: "08:00" }, people: [ana, ben] }
    second: { offset: 1 }
`,
  'rota.yaml',
);

/** What may happen to one of a few alarms. */
export interface Happening {
  readonly unit: string;
  readonly what: 'raise' | 'rise' | 'clear' | 'acknowledge' | 'shelve' | 'unshelve' | 'hand-on';
  /** How long before it is heard of it was, of what a watch finds. */
  readonly lateMs: number;
}

/** The journal of a few alarms, entry by entry, by the rules that the house keeps. */
export class AlarmLives {
  readonly newest = new Map<string, Alarm>();
  #ids = 0;

  /** The entries of one happening; none where it cannot happen. */
  happen({ unit, what, lateMs }: Happening, nowMs: number): readonly AlarmJournalEntry[] {
    const known = this.newest.get(unit) ?? null;
    const entries = this.#entries(known, { unit, what, lateMs }, nowMs);
    const last = entries.at(-1);
    if (last !== undefined) this.newest.set(unit, last.alarm);
    return entries;
  }

  #entries(
    known: Alarm | null,
    { unit, what, lateMs }: Happening,
    nowMs: number,
  ): readonly AlarmJournalEntry[] {
    const atMs = Math.max(nowMs - lateMs, known?.clearedAtMs ?? 0, known?.raisedAtMs ?? 0);
    const kind: FindingKind = unit.endsWith('1') ? 'sensor' : 'leakage';
    const context = { site: siteOf(unit), unit, newId: () => `a${++this.#ids}` };
    if (what === 'raise' || what === 'rise') {
      const priority = what === 'raise' ? BY_UNIT[unit.length % 2] : 'emergency';
      return applyFinding(
        known,
        { ...JUDGED, change: 'opened', kind, atMs, priority: priority ?? 'urgent' },
        context,
      );
    }
    if (what === 'clear') return applyFinding(known, { change: 'closed', kind, atMs }, context);
    if (known === null) return [];
    if (what === 'hand-on') return handOn(known, nowMs);
    const action =
      what === 'shelve'
        ? ({ type: what, untilMs: nowMs + 60 * MINUTE_MS, reason: 'a visit is planned' } as const)
        : ({ type: what } as const);
    const outcome = actOnAlarm(known, action, { atMs: nowMs, by: 'ana' });
    return outcome.ok && outcome.entry !== null ? [outcome.entry] : [];
  }
}

const BY_UNIT: readonly Priority[] = ['urgent', 'routine'];

const JUDGED = {
  headline: 'Leakage 12 mA over its usual level',
  evidence: { leakageMilliamps: 12 },
  causes: [{ cause: 'load-insulation', probability: 0.7, because: ['it comes with the load'] }],
} as const;

function siteOf(unit: string): string {
  return unit.startsWith('p') ? 'pier-nine' : 'old-mill';
}

function handOn(alarm: Alarm, nowMs: number): readonly AlarmJournalEntry[] {
  if (alarm.state !== 'unacknowledged') return [];
  const after = { ...alarm, revision: alarm.revision + 1 };
  const event = 'hand-on';
  const { state } = alarm;
  return [{ atMs: nowMs, event, from: state, to: state, by: 'ana', note: 'ill', alarm: after }];
}

export const happenings: fc.Arbitrary<Happening> = fc.record({
  unit: fc.constantFrom('p-0', 'p-1', 'p-02', 'p-3', 'm-0', 'm-1', 'm-02'),
  what: fc.constantFrom(
    'raise',
    'raise',
    'raise',
    'rise',
    'clear',
    'acknowledge',
    'shelve',
    'unshelve',
    'hand-on',
  ),
  lateMs: fc.constantFrom(0, 0, 1_000, 30 * MINUTE_MS, 6 * 60 * MINUTE_MS),
});
