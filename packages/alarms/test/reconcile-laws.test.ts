import { PRIORITIES } from '@lineside/anomaly';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Alarm, alarmJson, alarmJsonSchema } from '../src/index.ts';
import { nextAlarmState, revisedAlarmState } from '../src/transitions.ts';
import { applied, type Reconciliation, reconciled, stories, tell } from './random-judging.ts';

function always(law: (round: Reconciliation) => void): void {
  fc.assert(
    fc.property(stories, (story) => {
      for (const round of tell(story)) law(round);
    }),
    { numRuns: 400 },
  );
}

function alive(alarms: readonly Alarm[]): readonly Alarm[] {
  return alarms.filter(({ withdrawn }) => !withdrawn);
}

/** What watches say of alarms, in an order of its own. */
function findingsOf(alarms: readonly Alarm[]): readonly unknown[] {
  return alive(alarms)
    .map(({ kind, raisedAtMs, clearedAtMs, standing, priority, priorities, headline }) => ({
      kind,
      raisedAtMs,
      clearedAtMs,
      standing,
      priority,
      priorities,
      headline,
    }))
    .sort((a, b) => a.raisedAtMs - b.raisedAtMs || (a.kind < b.kind ? -1 : 1));
}

function rank(alarm: Alarm): number {
  return PRIORITIES.indexOf(alarm.priority);
}

function isSilenced({ state }: Alarm): boolean {
  return state === 'suppressed' || state === 'out-of-service';
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

describe('whatever was journalled, done by people, and judged anew', () => {
  it('the alarms that are not withdrawn say what was judged', () => {
    always(({ judged, after }) => {
      expect(findingsOf(after)).toEqual(findingsOf(judged));
    });
  });

  it('reconciling again changes nothing', () => {
    always(({ judged, after }) => {
      expect(reconciled(after, judged, 'again')).toEqual([]);
    });
  });

  it('the order of the lists has no say', () => {
    always(({ stored, judged, entries }) => {
      const prefix = entries.find(({ event }) => event === 'raise')?.alarm.id.replace(/-\d+$/, '');
      const turned = reconciled([...stored].reverse(), [...judged].reverse(), prefix ?? 'none');
      expect(turned).toEqual(entries);
    });
  });

  it('acknowledgements and shelves stay where the priority did not rise', () => {
    always(({ stored, after }) => {
      const byId = new Map(alive(after).map((alarm) => [alarm.id, alarm]));
      for (const before of alive(stored)) {
        const now = byId.get(before.id);
        if (now === undefined || rank(now) > rank(before)) continue;
        const reopened = !before.standing && now.standing;
        if (isSilenced(before)) {
          expect(now.state).toBe(before.state);
        } else if (before.state === 'shelved') {
          expect(now).toMatchObject({ state: 'shelved', shelvedUntilMs: before.shelvedUntilMs });
        } else if (!reopened) {
          expect(now.acknowledgedAtMs).toBe(before.acknowledgedAtMs);
          expect(now.acknowledgedBy).toBe(before.acknowledgedBy);
          if (before.state === 'acknowledged') {
            expect(now.state).toBe(now.standing ? 'acknowledged' : 'normal');
          }
        }
      }
    });
  });

  it('a priority above what people saw asks for attention, unless the alarm is set aside', () => {
    always(({ stored, after }) => {
      const before = new Map(stored.map((alarm) => [alarm.id, alarm]));
      for (const now of alive(after)) {
        const known = before.get(now.id);
        if (known !== undefined && rank(now) <= rank(known)) continue;
        if (known !== undefined && isSilenced(known)) {
          expect(now.state).toBe(known.state);
          continue;
        }
        expect(now.state).toBe(now.standing ? 'unacknowledged' : 'returned-unacknowledged');
        expect(now.acknowledgedBy).toBeNull();
      }
    });
  });

  it('entries go on from what is stored by the table, one revision each', () => {
    always(({ stored, entries }) => {
      const known = new Map(stored.map((alarm) => [alarm.id, alarm]));
      for (const { event, from, to, by, alarm } of entries) {
        const before = known.get(alarm.id);
        expect(before?.withdrawn ?? false).toBe(false);
        expect(from).toBe(before?.state ?? null);
        expect(by).toBe('watch');
        expect(alarm.state).toBe(to);
        expect(alarm.revision).toBe((before?.revision ?? 0) + 1);
        expect(event === 'raise').toBe(before === undefined);
        const isRise = before !== undefined && rank(alarm) > rank(before);
        const next =
          event === 'revise'
            ? revisedAlarmState(from ?? 'normal', alarm.standing, isRise)
            : nextAlarmState(from ?? 'normal', event, alarm.standing);
        expect(next).toEqual({ ok: true, to });
        known.set(alarm.id, alarm);
      }
      expect(new Set(entries.map(({ alarm }) => alarm.id)).size).toBe(entries.length);
    });
  });

  it('at most one alarm of a kind stands after each entry', () => {
    always(({ stored, entries }) => {
      for (let count = 0; count <= entries.length; count++) {
        const standing = applied(stored, entries.slice(0, count)).filter((one) => one.standing);
        expect(new Set(standing.map(({ kind }) => kind)).size).toBe(standing.length);
      }
    });
  });

  it('no step is announced that the alarm had before', () => {
    always(({ stored, entries }) => {
      const known = new Map(stored.map((alarm) => [alarm.id, alarm]));
      for (const { event, atMs, alarm } of entries) {
        if (event === 'raise') expect(known.has(alarm.id)).toBe(false);
        expect(event).not.toBe('reopen');
        if (event !== 'escalate') continue;
        const before = known.get(alarm.id)?.priorities ?? [];
        const steps = before.map(({ sinceMs, priority }) => `${priority} ${sinceMs}`);
        expect(steps).not.toContain(`${alarm.priority} ${atMs}`);
        expect(alarm.priorities.at(-1)).toMatchObject({ sinceMs: atMs, priority: alarm.priority });
      }
    });
  });

  it('the state agrees with standing, cleared, acknowledged and shelved', () => {
    always(({ after }) => {
      for (const alarm of after) {
        expect(alarm.standing).toBe(STANDING_IN[alarm.state] ?? alarm.standing);
        expect(alarm.clearedAtMs === null).toBe(alarm.standing);
        expect(alarm.acknowledgedAtMs === null).toBe(alarm.acknowledgedBy === null);
        if (/unacknowledged/.test(alarm.state)) expect(alarm.acknowledgedBy).toBeNull();
        if (alarm.state === 'acknowledged') expect(alarm.acknowledgedBy).not.toBeNull();
        const shelf = [alarm.shelvedUntilMs, alarm.shelvedBy, alarm.shelveReason];
        expect(shelf.filter((one) => one !== null)).toHaveLength(alarm.state === 'shelved' ? 3 : 0);
        if (alarm.withdrawn) expect(alarm.state).toBe('normal');
        expect(alarmJsonSchema.safeParse(alarmJson(alarm)).success).toBe(true);
      }
    });
  });

  it('every way to be judged anew happens', () => {
    const events = new Set<string>();
    for (const { entries } of fc.sample(stories, { numRuns: 400, seed: 7 }).flatMap(tell)) {
      for (const { event } of entries) events.add(event);
    }
    expect([...events].sort()).toEqual(['clear', 'escalate', 'raise', 'revise', 'withdraw']);
  });
});
