import { describe, expect, it } from 'vitest';
import {
  ALARM_NOTE_MOST_CHARACTERS,
  type Alarm,
  type AlarmAction,
  actOnAlarm,
  SHELVE_MOST_MS,
  SHELVE_REASON_MOST_CHARACTERS,
} from '../src/index.ts';
import { alarmAfter, closed, opened, RAISED_MS } from './sample-alarm.ts';

const NOW_MS = RAISED_MS + 5_000;
const BY_ROSA = { atMs: NOW_MS, by: 'rosa' };
const STANDING = alarmAfter([opened(RAISED_MS)]);
const RETURNED = alarmAfter([opened(RAISED_MS), closed(RAISED_MS + 1_000)]);

function acted(alarm: Alarm, action: AlarmAction, context = BY_ROSA): Alarm {
  const outcome = actOnAlarm(alarm, action, context);
  if (!outcome.ok) throw new Error(outcome.reason);
  return outcome.alarm;
}

function shelf(untilMs = NOW_MS + 60_000, reason = 'visit booked'): AlarmAction {
  return { type: 'shelve', untilMs, reason };
}

describe('acknowledging', () => {
  it('is noted with name and time', () => {
    const outcome = actOnAlarm(STANDING, { type: 'acknowledge' }, BY_ROSA);
    expect(outcome).toMatchObject({
      ok: true,
      alarm: { state: 'acknowledged', acknowledgedAtMs: NOW_MS, acknowledgedBy: 'rosa' },
      entry: { event: 'acknowledge', from: 'unacknowledged', to: 'acknowledged', by: 'rosa' },
    });
    expect(outcome.ok && outcome.entry?.alarm).toBe(outcome.ok && outcome.alarm);
  });

  it('twice is no error and changes nothing', () => {
    const acknowledged = acted(STANDING, { type: 'acknowledge' });
    const later = { atMs: NOW_MS + 1, by: 'someone else' };
    const outcome = actOnAlarm(acknowledged, { type: 'acknowledge' }, later);
    expect(outcome).toEqual({ ok: true, alarm: acknowledged, entry: null });
  });

  it('brings what has cleared back to normal', () => {
    expect(acted(RETURNED, { type: 'acknowledge' })).toMatchObject({
      state: 'normal',
      acknowledgedBy: 'rosa',
    });
  });

  it('of a normal or shelved alarm is refused', () => {
    const normal = acted(RETURNED, { type: 'acknowledge' });
    expect(actOnAlarm(normal, { type: 'acknowledge' }, BY_ROSA)).toEqual({
      ok: false,
      code: 'ALARM_WRONG_STATE',
      reason: 'the alarm is normal: it is back to normal and needs no acknowledgement',
    });
    const shelved = acted(STANDING, shelf());
    expect(actOnAlarm(shelved, { type: 'acknowledge' }, BY_ROSA)).toMatchObject({ ok: false });
  });
});

describe('a note', () => {
  it('goes into the journal of what is acknowledged, the first acknowledgement holds', () => {
    const acknowledged = acted(STANDING, { type: 'acknowledge' });
    const later = { atMs: NOW_MS + 1, by: 'sam' };
    const outcome = actOnAlarm(acknowledged, { type: 'acknowledge', note: 'on my way' }, later);
    expect(outcome).toMatchObject({
      ok: true,
      alarm: { state: 'acknowledged', acknowledgedAtMs: NOW_MS, acknowledgedBy: 'rosa' },
      entry: { event: 'acknowledge', by: 'sam', note: 'on my way' },
    });
  });

  it('goes into the journal with an acknowledgement, an empty one as none', () => {
    const onMyWay = actOnAlarm(STANDING, { type: 'acknowledge', note: ' on my way ' }, BY_ROSA);
    expect(onMyWay).toMatchObject({ ok: true, entry: { note: 'on my way' } });
    const empty = actOnAlarm(STANDING, { type: 'acknowledge', note: ' ' }, BY_ROSA);
    expect(empty).toMatchObject({ ok: true, entry: { note: null } });
  });

  it('has an end', () => {
    const longest = 'x'.repeat(ALARM_NOTE_MOST_CHARACTERS);
    expect(acted(STANDING, { type: 'hand-on', note: longest }).state).toBe('unacknowledged');
    expect(actOnAlarm(STANDING, { type: 'hand-on', note: `${longest}x` }, BY_ROSA)).toEqual({
      ok: false,
      code: 'ALARM_BAD_NOTE',
      reason: 'note must have at most 500 characters, it has 501',
    });
  });
});

describe('handing on', () => {
  it('is noted and lets the alarm ask on', () => {
    const action = { type: 'hand-on', note: 'I am at the other site' } as const;
    expect(actOnAlarm(STANDING, action, BY_ROSA)).toMatchObject({
      ok: true,
      alarm: { state: 'unacknowledged', acknowledgedBy: null, revision: 2 },
      entry: { event: 'hand-on', from: 'unacknowledged', by: 'rosa', note: action.note },
    });
  });

  it.each([
    ['acknowledged', acted(STANDING, { type: 'acknowledge' })],
    ['returned-unacknowledged', RETURNED],
    ['shelved', acted(STANDING, shelf())],
  ])('is refused while it is %s', (state, alarm) => {
    const outcome = actOnAlarm(alarm, { type: 'hand-on' }, BY_ROSA);
    expect(outcome).toMatchObject({ ok: false, code: 'ALARM_WRONG_STATE' });
    expect(outcome.ok ? '' : outcome.reason).toContain(`the alarm is ${state}: `);
  });
});

describe('setting aside', () => {
  const clock = { atMs: NOW_MS, by: 'clock' };
  const outOfService = { type: 'take-out-of-service', note: 'fan motor is out' } as const;
  const backInService = { type: 'return-to-service', note: 'repaired' } as const;

  it('says why in the journal, or is refused', () => {
    for (const action of [outOfService, { type: 'suppress', note: 'no supply' } as const]) {
      const outcome = actOnAlarm(STANDING, action, clock);
      expect(outcome).toMatchObject({ entry: { event: action.type, note: action.note } });
      expect(actOnAlarm(STANDING, { ...action, note: ' ' }, clock)).toEqual({
        ok: false,
        code: 'ALARM_BAD_NOTE',
        reason: 'note must say why',
      });
    }
  });

  it('out of service asks for a new acknowledgement on return', () => {
    const away = acted(acted(STANDING, { type: 'acknowledge' }), outOfService);
    expect(away).toMatchObject({ state: 'out-of-service', acknowledgedBy: 'rosa' });
    const back = acted(away, backInService);
    expect(back).toMatchObject({ state: 'unacknowledged', acknowledgedBy: null });
  });

  it('out of service ends a shelf, and what has cleared returns to normal', () => {
    const away = acted(acted(RETURNED, shelf()), outOfService);
    expect(away).toMatchObject({ state: 'out-of-service', shelvedUntilMs: null });
    expect(acted(away, backInService)).toMatchObject({ state: 'normal', standing: false });
  });

  it('by suppression leaves an acknowledgement as it is', () => {
    const acknowledged = acted(STANDING, { type: 'acknowledge' });
    expect(actOnAlarm(acknowledged, { type: 'suppress', note: 'no supply' }, clock)).toMatchObject({
      ok: false,
      reason: 'the alarm is acknowledged: it asks nobody',
    });
  });
});

describe('shelving', () => {
  it('keeps until when, by whom and why', () => {
    const outcome = actOnAlarm(STANDING, shelf(NOW_MS + 1, '  visit booked '), BY_ROSA);
    expect(outcome).toMatchObject({
      ok: true,
      alarm: {
        state: 'shelved',
        standing: true,
        shelvedUntilMs: NOW_MS + 1,
        shelvedBy: 'rosa',
        shelveReason: 'visit booked',
      },
      entry: { note: 'visit booked' },
    });
  });

  it.each([
    ['an end that is not ahead', shelf(NOW_MS), 'until must lie ahead'],
    ['no end at all', shelf(Number.NaN), 'until must lie ahead'],
    ['an end too far ahead', shelf(NOW_MS + SHELVE_MOST_MS + 1), 'within 30 days'],
    ['no reason', shelf(NOW_MS + 1, ' \n'), 'must say why'],
    [
      'a reason too long',
      shelf(NOW_MS + 1, 'x'.repeat(SHELVE_REASON_MOST_CHARACTERS + 1)),
      'at most 500 characters, it has 501',
    ],
  ])('refuses %s', (_, action, words) => {
    const outcome = actOnAlarm(STANDING, action, BY_ROSA);
    expect(outcome).toMatchObject({ ok: false, code: 'ALARM_BAD_SHELF' });
    expect(outcome.ok ? '' : outcome.reason).toContain(words);
  });

  it('takes the furthest end and the longest reason', () => {
    const longest = 'x'.repeat(SHELVE_REASON_MOST_CHARACTERS);
    expect(acted(STANDING, shelf(NOW_MS + SHELVE_MOST_MS, longest)).state).toBe('shelved');
  });

  it('anew moves the end, the same again changes nothing', () => {
    const shelved = acted(STANDING, shelf());
    expect(actOnAlarm(shelved, shelf(), BY_ROSA)).toMatchObject({ ok: true, entry: null });
    expect(acted(shelved, shelf(NOW_MS + 9_000))).toMatchObject({
      shelvedUntilMs: NOW_MS + 9_000,
      revision: 3,
    });
  });

  it('of a normal alarm is refused', () => {
    const normal = acted(RETURNED, { type: 'acknowledge' });
    expect(actOnAlarm(normal, shelf(), BY_ROSA)).toMatchObject({ code: 'ALARM_WRONG_STATE' });
  });
});

describe('the end of a shelf', () => {
  it.each([
    ['unacknowledged where the condition is present', STANDING, 'unacknowledged'],
    ['normal where it is gone', RETURNED, 'normal'],
  ])('leads to %s', (_, alarm, state) => {
    const shelved = acted(alarm, shelf());
    const over = { atMs: NOW_MS + 60_000, by: 'clock' };
    for (const [type, context] of [
      ['unshelve', BY_ROSA],
      ['shelf-expired', over],
    ] as const) {
      expect(acted(shelved, { type }, context)).toMatchObject({
        state,
        shelvedUntilMs: null,
        shelvedBy: null,
        shelveReason: null,
      });
    }
  });

  it('asks for a new acknowledgement of what was acknowledged before shelving', () => {
    const acknowledged = acted(STANDING, { type: 'acknowledge' });
    const back = acted(acted(acknowledged, shelf()), { type: 'unshelve' });
    expect(back).toMatchObject({ state: 'unacknowledged', acknowledgedAtMs: null });
  });

  it('does not come before its time', () => {
    const shelved = acted(STANDING, shelf());
    const early = { atMs: NOW_MS + 59_999, by: 'clock' };
    expect(actOnAlarm(shelved, { type: 'shelf-expired' }, early)).toMatchObject({ ok: false });
  });

  it('is refused where nothing is shelved', () => {
    for (const type of ['unshelve', 'shelf-expired'] as const) {
      expect(actOnAlarm(STANDING, { type }, BY_ROSA)).toMatchObject({
        code: 'ALARM_WRONG_STATE',
        reason: 'the alarm is unacknowledged: it is not shelved',
      });
    }
  });
});
