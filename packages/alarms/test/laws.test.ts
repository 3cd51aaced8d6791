import { PRIORITIES } from '@lineside/anomaly';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Alarm,
  type AlarmJournalEntry,
  alarmJson,
  alarmJsonSchema,
  applyFinding,
  nextAlarmState,
  REOPEN_WITHIN_MS,
} from '../src/index.ts';
import { happenings, live, type Step } from './random-history.ts';
import { contextOf } from './sample-alarm.ts';

function always(law: (steps: readonly Step[]) => void): void {
  fc.assert(
    fc.property(happenings, (history) => law(live(history))),
    { numRuns: 500 },
  );
}

function journal(steps: readonly Step[]): readonly AlarmJournalEntry[] {
  return steps.flatMap(({ entries }) => entries);
}

/** The last state of each alarm, in the order of raising. */
function alarmsOf(steps: readonly Step[]): readonly Alarm[] {
  return [...new Map(journal(steps).map(({ alarm }) => [alarm.id, alarm])).values()];
}

const STANDING_IN: Readonly<Record<Alarm['state'], boolean | null>> = {
  normal: false,
  unacknowledged: true,
  acknowledged: true,
  'returned-unacknowledged': false,
  shelved: null,
  suppressed: null,
  'out-of-service': null,
};

describe('whatever watches find and people do', () => {
  it('the state agrees with standing, cleared, acknowledged and shelved', () => {
    always((steps) => {
      for (const { alarm } of journal(steps)) {
        expect(alarm.standing).toBe(STANDING_IN[alarm.state] ?? alarm.standing);
        expect(alarm.clearedAtMs === null).toBe(alarm.standing);
        if (alarm.clearedAtMs !== null) {
          expect(alarm.clearedAtMs).toBeGreaterThanOrEqual(alarm.raisedAtMs);
        }
        expect(alarm.acknowledgedAtMs === null).toBe(alarm.acknowledgedBy === null);
        if (alarm.state === 'acknowledged') expect(alarm.acknowledgedBy).toBe('rosa');
        if (/unacknowledged/.test(alarm.state)) expect(alarm.acknowledgedBy).toBeNull();
        const shelf = [alarm.shelvedUntilMs, alarm.shelvedBy, alarm.shelveReason];
        expect(shelf.filter((one) => one !== null)).toHaveLength(alarm.state === 'shelved' ? 3 : 0);
      }
    });
  });

  it('at most one alarm of the unit and kind stands, and it is the newest', () => {
    always((steps) => {
      const standing = new Set<string>();
      for (const { alarm } of journal(steps)) {
        if (alarm.standing) standing.add(alarm.id);
        else standing.delete(alarm.id);
        expect(standing.size).toBeLessThanOrEqual(1);
      }
      const older = alarmsOf(steps).slice(0, -1);
      expect(older.filter(({ standing: stands }) => stands)).toEqual([]);
    });
  });

  it('the journal goes on from entry to entry by the table, one revision each', () => {
    always((steps) => {
      const known = new Map<string, Alarm>();
      for (const { event, from, to, alarm } of journal(steps)) {
        const before = known.get(alarm.id);
        expect(from).toBe(before?.state ?? null);
        expect(alarm.revision).toBe((before?.revision ?? 0) + 1);
        expect(event === 'raise').toBe(before === undefined);
        expect(nextAlarmState(from ?? 'normal', event, alarm.standing)).toEqual({ ok: true, to });
        expect(alarm.state).toBe(to);
        known.set(alarm.id, alarm);
      }
    });
  });

  it('the journal replays to the same alarms', () => {
    always((steps) => {
      let newest: Alarm | null = null;
      const context = contextOf();
      for (const { change, entries, before } of steps) {
        expect(newest).toEqual(before);
        const again: readonly AlarmJournalEntry[] =
          change === null ? entries : applyFinding(newest, change, context);
        expect(again).toEqual(entries);
        newest = (JSON.parse(JSON.stringify(again)) as typeof again).at(-1)?.alarm ?? newest;
      }
    });
  });

  it('a change handed in twice gives entries once', () => {
    always((steps) => {
      for (const { change, before, entries } of steps) {
        if (change === null) continue;
        const after = entries.at(-1)?.alarm ?? before;
        expect(applyFinding(after, change, contextOf())).toEqual([]);
      }
    });
  });

  it('the priority is the highest reached and its steps begin with the raise', () => {
    always((steps) => {
      for (const { alarm } of journal(steps)) {
        const ranks = alarm.priorities.map(({ priority }) => PRIORITIES.indexOf(priority));
        expect(PRIORITIES[Math.max(...ranks)]).toBe(alarm.priority);
        expect(alarm.priorities[0]?.sinceMs).toBe(alarm.raisedAtMs);
        const times = alarm.priorities.map(({ sinceMs }) => sinceMs);
        expect(times).toEqual([...times].sort((a, b) => a - b));
      }
    });
  });

  it('a raise within 60 minutes of clearing keeps the id, a later one has a new one', () => {
    always((steps) => {
      for (const { before, change, entries } of steps) {
        const clearedAtMs = before?.clearedAtMs ?? null;
        const first = entries[0];
        if (before === null || clearedAtMs === null || change === null || first === undefined) {
          continue;
        }
        const isLater = change.atMs - clearedAtMs > REOPEN_WITHIN_MS;
        expect(first.event).toBe(isLater ? 'raise' : 'reopen');
        expect(first.alarm.id === before.id).toBe(!isLater);
        expect(first.alarm.raisedAtMs).toBe(isLater ? change.atMs : before.raisedAtMs);
      }
      const ids = alarmsOf(steps).map(({ id }) => id);
      expect(ids).toEqual(ids.map((_, index) => `a${index + 1}`));
    });
  });

  it('the alarm can be shown', () => {
    always((steps) => {
      for (const alarm of alarmsOf(steps)) {
        expect(alarmJsonSchema.safeParse(alarmJson(alarm)).success).toBe(true);
      }
    });
  });
});
