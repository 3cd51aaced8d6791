import { describe, expect, it } from 'vitest';
import {
  type Alarm,
  type AlarmAction,
  type AlarmJournalEntry,
  actOnAlarm,
  applyFinding,
  REOPEN_WITHIN_MS,
  reconcileAlarms,
} from '../src/index.ts';
import {
  alarmAfter,
  closed,
  contextOf,
  escalated,
  MINUTE_MS,
  opened,
  RAISED_MS,
} from './sample-alarm.ts';

const CLEARED_MS = RAISED_MS + 30 * MINUTE_MS;
const JUDGED_MS = RAISED_MS + 600 * MINUTE_MS;

function reconcile(stored: readonly Alarm[], judged: readonly Alarm[]): AlarmJournalEntry[] {
  let count = 0;
  const newId = (): string => {
    count += 1;
    return `new-${count}`;
  };
  return [...reconcileAlarms(stored, judged, { atMs: JUDGED_MS, newId })];
}

function only(entries: readonly AlarmJournalEntry[]): AlarmJournalEntry {
  expect(entries).toHaveLength(1);
  return entries[0]!;
}

function acted(alarm: Alarm, action: AlarmAction): Alarm {
  const outcome = actOnAlarm(alarm, action, { atMs: RAISED_MS, by: 'rosa' });
  if (!outcome.ok) throw new Error(outcome.reason);
  return outcome.alarm;
}

const acknowledge = { type: 'acknowledge' } as const;
const shelve = { type: 'shelve', untilMs: JUDGED_MS, reason: 'visit booked' } as const;

/** An alarm of another id and time. */
function other(id: string, raisedAtMs: number, clearedAtMs: number | null): Alarm {
  const changes = [opened(raisedAtMs), ...(clearedAtMs === null ? [] : [closed(clearedAtMs)])];
  return { ...alarmAfter(changes), id };
}

const standing = alarmAfter([opened(RAISED_MS)]);
const cleared = alarmAfter([opened(RAISED_MS), closed(CLEARED_MS)]);
const risen = alarmAfter([opened(RAISED_MS), escalated(RAISED_MS + MINUTE_MS, 'urgent')]);
const later = alarmAfter([opened(RAISED_MS + MINUTE_MS)]);

describe('an alarm that is judged as it is stored', () => {
  it('gives no entry, whatever people did to it', () => {
    for (const alarm of [standing, acted(standing, acknowledge), acted(standing, shelve)]) {
      expect(reconcile([alarm], [{ ...standing, id: 'judged' }])).toEqual([]);
    }
    expect(reconcile([acted(cleared, acknowledge)], [cleared])).toEqual([]);
  });

  it('gives no entry when only what JSON cannot say differs', () => {
    const evidence = { marginKelvin: -0, side: 'line', spread: Number.NaN };
    const judged = { ...standing, evidence };
    const stored: Alarm = JSON.parse(JSON.stringify({ ...judged, headline: judged.headline }));
    expect(reconcile([stored], [judged])).toEqual([]);
    const swapped = { spread: null, side: 'line', marginKelvin: 0 };
    expect(reconcile([{ ...stored, evidence: swapped }], [judged])).toEqual([]);
    const less = reconcile([stored], [{ ...judged, evidence: { side: 'line' } }]);
    expect(only(less)).toMatchObject({ event: 'revise', note: 'other evidence' });
  });
});

describe('an alarm that is judged otherwise', () => {
  it('clears when that is all that happened', () => {
    const entry = only(reconcile([acted(standing, acknowledge)], [cleared]));
    expect(entry).toMatchObject({ event: 'clear', to: 'normal', atMs: CLEARED_MS, by: 'watch' });
    expect(entry.alarm).toMatchObject({
      id: 'a1',
      acknowledgedBy: 'rosa',
      clearedAtMs: CLEARED_MS,
    });
    expect(only(reconcile([standing], [cleared])).to).toBe('returned-unacknowledged');
    expect(only(reconcile([acted(standing, shelve)], [cleared])).to).toBe('shelved');
  });

  it('escalates when it only rose, and asks for attention again', () => {
    for (const action of [acknowledge, shelve]) {
      const entry = only(reconcile([acted(standing, action)], [risen]));
      expect(entry).toMatchObject({ event: 'escalate', to: 'unacknowledged' });
      expect(entry.atMs).toBe(RAISED_MS + MINUTE_MS);
      expect(entry.alarm).toMatchObject({ priority: 'urgent', acknowledgedBy: null, revision: 3 });
      expect(entry.alarm.priorities).toEqual(risen.priorities);
    }
  });

  it('is revised when it was raised at another time, and stays acknowledged', () => {
    const entry = only(reconcile([acted(standing, acknowledge)], [later]));
    expect(entry).toMatchObject({
      event: 'revise',
      from: 'acknowledged',
      to: 'acknowledged',
      atMs: JUDGED_MS,
      by: 'watch',
      alarm: { id: 'a1', raisedAtMs: later.raisedAtMs, acknowledgedBy: 'rosa', revision: 3 },
    });
    expect(entry.note).toMatch(/^raised 2026-01-10T04:13:00Z instead of 2026-01-10T04:12:00Z/);
  });

  it('is revised when it rose and was judged otherwise before that', () => {
    const [first, ...rises] = risen.priorities;
    const judged: Alarm = { ...risen, priorities: [{ ...first!, causes: [] }, ...rises] };
    const entry = only(reconcile([acted(standing, acknowledge)], [judged]));
    expect(entry).toMatchObject({ event: 'revise', to: 'unacknowledged', atMs: JUDGED_MS });
    const again = alarmAfter([
      opened(RAISED_MS),
      escalated(RAISED_MS + 1, 'urgent'),
      closed(RAISED_MS + 2),
      opened(RAISED_MS + 3, 'urgent'),
    ]);
    expect(only(reconcile([standing], [again])).event).toBe('revise');
  });

  it('stands again when it is judged not to have cleared', () => {
    const done = acted(cleared, acknowledge);
    expect(done.state).toBe('normal');
    const entry = only(reconcile([done], [standing]));
    expect(entry).toMatchObject({ event: 'revise', from: 'normal', to: 'unacknowledged' });
    expect(entry.alarm).toMatchObject({ standing: true, clearedAtMs: null, acknowledgedBy: null });
    expect(entry.note).toBe('standing instead of cleared 2026-01-10T04:42:00Z');
  });

  it('keeps its state when its priority is lower than was thought', () => {
    const entry = only(reconcile([acted(risen, acknowledge)], [standing]));
    expect(entry).toMatchObject({ event: 'revise', to: 'acknowledged' });
    expect(entry.alarm).toMatchObject({ priority: 'routine', acknowledgedBy: 'rosa' });
    expect(entry.note).toMatch(/^routine instead of urgent; steps now routine since 2026-/);
  });

  it('asks for attention again when it rose before it cleared', () => {
    const end = closed(CLEARED_MS);
    const rise = escalated(RAISED_MS + MINUTE_MS, 'emergency');
    const judged = alarmAfter([opened(RAISED_MS), rise, end]);
    for (const alarm of [cleared, acted(cleared, acknowledge), acted(cleared, shelve)]) {
      const entry = only(reconcile([alarm], [judged]));
      expect(entry).toMatchObject({ event: 'revise', to: 'returned-unacknowledged' });
      expect(entry.alarm).toMatchObject({ acknowledgedBy: null, shelvedBy: null });
    }
  });
});

describe('matching', () => {
  const hour = 60 * MINUTE_MS;

  it('takes the same raise first, then the longest time together', () => {
    const a = other('a', RAISED_MS, RAISED_MS + 10 * hour);
    const b = other('b', RAISED_MS + 12 * hour, RAISED_MS + 14 * hour);
    const judgedA = other('x', RAISED_MS, RAISED_MS + 1);
    const judgedB = other('y', RAISED_MS + 3 * hour, RAISED_MS + 13 * hour);
    const byId = new Map(reconcile([b, a], [judgedB, judgedA]).map((one) => [one.alarm.id, one]));
    expect([...byId.keys()].sort()).toEqual(['a', 'b']);
    expect(byId.get('b')?.alarm.raisedAtMs).toBe(judgedB.raisedAtMs);
  });

  it('takes two that do not overlap when a reopening could span the gap', () => {
    const stored = other('a', RAISED_MS, RAISED_MS + hour);
    const near = other('x', RAISED_MS + hour + REOPEN_WITHIN_MS, RAISED_MS + 9 * hour);
    expect(only(reconcile([stored], [near]))).toMatchObject({
      event: 'revise',
      alarm: { id: 'a' },
    });
    const far = other('x', near.raisedAtMs + 1, near.clearedAtMs);
    expect(reconcile([stored], [far]).map(({ event }) => event)).toEqual(['withdraw', 'raise']);
    expect(only(reconcile([near], [stored])).alarm.raisedAtMs).toBe(RAISED_MS);
  });

  it('never crosses kinds', () => {
    const moisture: Alarm = { ...standing, kind: 'moisture' };
    const entries = reconcile([standing], [moisture]);
    expect(entries.map(({ event, alarm }) => [event, alarm.kind])).toEqual([
      ['withdraw', 'leakage'],
      ['raise', 'moisture'],
    ]);
  });
});

describe('an alarm without a match', () => {
  it('is withdrawn when it is stored: over, and untouchable', () => {
    for (const alarm of [standing, acted(standing, acknowledge), acted(standing, shelve)]) {
      const entry = only(reconcile([alarm], []));
      expect(entry).toMatchObject({ event: 'withdraw', to: 'normal', atMs: JUDGED_MS });
      expect(entry.alarm).toMatchObject({
        withdrawn: true,
        standing: false,
        clearedAtMs: JUDGED_MS,
        shelvedBy: null,
        revision: alarm.revision + 1,
      });
      const refused = actOnAlarm(entry.alarm, acknowledge, { atMs: JUDGED_MS, by: 'rosa' });
      expect(refused).toMatchObject({ ok: false, code: 'ALARM_WRONG_STATE' });
      expect(refused.ok ? '' : refused.reason).toMatch(/^the alarm is withdrawn/);
      expect(reconcile([entry.alarm], [])).toEqual([]);
      const [again] = applyFinding(entry.alarm, opened(JUDGED_MS + 1), contextOf());
      expect(again).toMatchObject({ event: 'raise', alarm: { withdrawn: false, revision: 1 } });
      expect(applyFinding(entry.alarm, closed(JUDGED_MS + 1), contextOf())).toEqual([]);
    }
    const kept = only(reconcile([cleared], []));
    expect(kept.alarm.clearedAtMs).toBe(CLEARED_MS);
  });

  it('is raised once when it is judged, with all its steps', () => {
    const entry = only(reconcile([], [{ ...risen, id: 'judged' }]));
    expect(entry).toMatchObject({ event: 'raise', from: null, to: 'unacknowledged' });
    expect(entry.alarm).toMatchObject({ id: 'new-1', priority: 'urgent', revision: 1 });
    expect(entry.alarm.priorities).toEqual(risen.priorities);
  });

  it('is raised although it is over already', () => {
    const entry = only(reconcile([], [cleared]));
    expect(entry).toMatchObject({ event: 'raise', from: null, to: 'returned-unacknowledged' });
    expect(entry.atMs).toBe(RAISED_MS);
    expect(entry.alarm).toMatchObject({ standing: false, clearedAtMs: CLEARED_MS, revision: 1 });
  });

  it('refuses a new id that is none', () => {
    const context = { atMs: JUDGED_MS, newId: () => 'not an id' };
    expect(() => reconcileAlarms([], [standing], context)).toThrow(/newId gave "not an id"/);
  });
});

describe('the order of entries', () => {
  const hour = 60 * MINUTE_MS;

  it('ends what stands before another stands', () => {
    const stored = [
      other('old', RAISED_MS, RAISED_MS + hour),
      other('new', RAISED_MS + 5 * hour, null),
    ];
    const judged = [
      other('x', RAISED_MS + 5 * hour, RAISED_MS + 6 * hour),
      other('y', RAISED_MS + 8 * hour, null),
      other('z', RAISED_MS, RAISED_MS + 2 * hour),
    ];
    const entries = reconcile(stored, judged);
    expect(entries.map(({ event, alarm }) => [event, alarm.id])).toEqual([
      ['revise', 'old'],
      ['clear', 'new'],
      ['raise', 'new-1'],
    ]);
  });

  it('ends what stands before a cleared one stands again', () => {
    const stored = [
      other('old', RAISED_MS, RAISED_MS + hour),
      other('new', RAISED_MS + 5 * hour, null),
    ];
    const judged = [
      other('x', RAISED_MS, null),
      other('y', RAISED_MS + 5 * hour, RAISED_MS + 6 * hour),
    ];
    expect(reconcile(stored, judged).map(({ event, alarm }) => [event, alarm.id])).toEqual([
      ['clear', 'new'],
      ['revise', 'old'],
    ]);
  });

  it('raises what is over while another goes on standing', () => {
    const stored = [other('now', RAISED_MS + 9 * hour, null)];
    const judged = [other('x', RAISED_MS, RAISED_MS + hour), ...stored];
    expect(only(reconcile(stored, judged))).toMatchObject({
      event: 'raise',
      to: 'returned-unacknowledged',
    });
  });
});
