import { FINDING_KINDS, PRIORITIES } from '@lineside/anomaly';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  ALARM_STATES,
  type Alarm,
  actOnAlarm,
  REOPEN_WITHIN_MS,
  type SilencingHold,
  settleSilencing,
  silencingDue,
  suppressedBy,
} from '../../src/index.ts';
import { alarmAfter, opened, RAISED_MS } from '../sample-alarm.ts';

const NOW_MS = RAISED_MS + 3 * REOPEN_WITHIN_MS;
const SAMPLE = alarmAfter([opened(RAISED_MS)]);

/** An alarm in a state that it can be in. */
function alarmIn(state: Alarm['state'], fields: Partial<Alarm> = {}): Alarm {
  const over = state === 'normal' || state === 'returned-unacknowledged';
  const standing = fields.standing ?? !over;
  const clearedAtMs = standing ? null : (fields.clearedAtMs ?? NOW_MS - 60_000);
  const shelf = { shelvedUntilMs: NOW_MS + 1, shelvedBy: 'rosa', shelveReason: 'parts ordered' };
  return { ...SAMPLE, ...fields, state, standing, clearedAtMs, ...(state === 'shelved' && shelf) };
}

const OUT: SilencingHold = {
  kind: 'out-of-service',
  owner: 'rosa',
  reason: 'compressor is ordered',
  fromMs: NOW_MS - 1,
  untilMs: NOW_MS + 1,
  endedAtMs: null,
};
const VISIT: SilencingHold = { ...OUT, kind: 'maintenance' };

const some = fc
  .record({
    kind: fc.constantFrom(...FINDING_KINDS),
    state: fc.constantFrom(...ALARM_STATES),
    priority: fc.constantFrom(...PRIORITIES),
    standing: fc.boolean(),
    clearedAgoMs: fc.constantFrom(0, REOPEN_WITHIN_MS, REOPEN_WITHIN_MS + 1),
    withdrawn: fc.boolean(),
  })
  .map(({ kind, state, priority, standing, clearedAgoMs, withdrawn }): Alarm => {
    if (withdrawn) return { ...alarmIn('normal', { kind, priority }), withdrawn };
    const isFree = state === 'shelved' || state === 'suppressed' || state === 'out-of-service';
    const clearedAtMs = NOW_MS - clearedAgoMs;
    return alarmIn(state, { kind, priority, ...(isFree ? { standing } : {}), clearedAtMs });
  });

const units = fc.record({
  alarms: fc
    .uniqueArray(some, { selector: ({ kind }) => kind, maxLength: 9 })
    .map((alarms) => alarms.map((alarm) => ({ ...alarm, id: alarm.kind }))),
  holds: fc.array(fc.constantFrom(OUT, VISIT), { maxLength: 2 }),
});

/** What becomes of a unit's alarms, and how often each was acted on. */
function settled(alarms: readonly Alarm[], holds: readonly SilencingHold[]) {
  const acts = new Map<string, number>();
  let now = [...alarms];
  for (let round = 0; round < 10; round++) {
    for (const [at, alarm] of now.entries()) {
      const action = silencingDue(alarm, now, holds, NOW_MS);
      if (action === null) continue;
      const outcome = actOnAlarm(alarm, action, { atMs: NOW_MS, by: 'clock' });
      if (!outcome.ok) throw new Error(outcome.reason);
      expect(outcome.entry).not.toBeNull();
      acts.set(alarm.id, (acts.get(alarm.id) ?? 0) + 1);
      now = now.with(at, outcome.alarm);
    }
  }
  return { now, acts };
}

describe('what the clock has to do to alarms', () => {
  it('is allowed by their state and settles after two actions at most', () => {
    fc.assert(
      fc.property(units, ({ alarms, holds }) => {
        const { now, acts } = settled(alarms, holds);
        expect(Math.max(0, ...acts.values())).toBeLessThanOrEqual(2);
        for (const alarm of now) expect(silencingDue(alarm, now, holds, NOW_MS)).toBeNull();
      }),
      { numRuns: 500 },
    );
  });

  it('is done in one go for a whole unit', () => {
    fc.assert(
      fc.property(units, ({ alarms, holds }) => {
        const entries = settleSilencing(alarms, holds, NOW_MS);
        const after = new Map<string, Alarm>(alarms.map((alarm) => [alarm.id, alarm]));
        for (const { alarm, from, by, note } of entries) {
          expect([from, by]).toEqual([after.get(alarm.id)?.state, 'clock']);
          expect(note).not.toBeNull();
          after.set(alarm.id, alarm);
        }
        expect(settleSilencing([...after.values()], holds, NOW_MS)).toEqual([]);
        const { now } = settled(alarms, holds);
        expect([...after.values()].map(({ state }) => state)).toEqual(
          now.map(({ state }) => state),
        );
      }),
    );
  });

  it('leaves out of service what its unit is, suppressed what a rule says, and nothing else', () => {
    fc.assert(
      fc.property(units, ({ alarms, holds }) => {
        const { now } = settled(alarms, holds);
        const isOut = holds.includes(OUT);
        for (const alarm of now) {
          if (alarm.state === 'out-of-service') expect(isOut).toBe(true);
          else if (isOut && alarm.standing) expect(alarm.withdrawn).toBe(true);
          if (alarm.state === 'suppressed') {
            expect(suppressedBy({ ...alarm, standing: true }, now)).not.toBeNull();
            expect(['phase-loss', 'unbalance', 'sensor']).toContain(alarm.kind);
          }
          if (alarm.state === 'unacknowledged') expect(suppressedBy(alarm, now)).toBeNull();
        }
      }),
      { numRuns: 500 },
    );
  });

  it('says who and why when a unit goes out of service and when it is back', () => {
    const alarm = alarmIn('acknowledged');
    expect(silencingDue(alarm, [alarm], [VISIT, OUT], NOW_MS)).toEqual({
      type: 'take-out-of-service',
      note: 'unit out of service until 2026-01-10T07:12:00.001Z, ' + 'rosa: compressor is ordered',
    });
    const away = alarmIn('out-of-service');
    expect(silencingDue(away, [away], [OUT], NOW_MS)).toBeNull();
    const back = { type: 'return-to-service', note: 'its unit is back in service' };
    expect(silencingDue(away, [away], [OUT], NOW_MS + 1)).toEqual(back);
    expect(silencingDue(away, [away], [{ ...OUT, endedAtMs: NOW_MS }], NOW_MS)).toEqual(back);
  });

  it('is nothing in maintenance: alarms are shown as they are', () => {
    for (const state of ['unacknowledged', 'acknowledged', 'shelved'] as const) {
      expect(silencingDue(alarmIn(state), [], [VISIT], NOW_MS)).toBeNull();
    }
  });

  it('suppresses, and brings back what has become more urgent than the other', () => {
    const other = { ...alarmIn('acknowledged'), kind: 'supply-loss' as const, id: 's1' };
    const alarm = { ...alarmIn('unacknowledged'), kind: 'unbalance' as const };
    expect(silencingDue(alarm, [alarm, other], [], NOW_MS)).toEqual({
      type: 'suppress',
      note:
        'while supply-loss stands (s1): ' +
        'without supply there is no current or voltage to compare between phases',
    });
    const risen = { ...alarm, state: 'suppressed', priority: 'emergency' } as const;
    expect(silencingDue(risen, [risen, other], [], NOW_MS)).toMatchObject({ type: 'unsuppress' });
  });

  it('lets go of what was set aside and cannot reopen any more', () => {
    for (const [state, type] of [
      ['out-of-service', 'return-to-service'],
      ['suppressed', 'unsuppress'],
    ] as const) {
      const clearedAtMs = NOW_MS - REOPEN_WITHIN_MS - 1;
      const over = alarmIn(state, { standing: false, clearedAtMs });
      const note = 'its condition is gone';
      expect(silencingDue(over, [over], [OUT], NOW_MS)).toEqual({ type, note });
    }
  });
});
