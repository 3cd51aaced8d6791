import { describe, expect, it } from 'vitest';
import {
  ALARM_EVENTS,
  ALARM_STATES,
  ALARM_TRANSITIONS,
  type AlarmEvent,
  type AlarmState,
  nextAlarmState,
  revisedAlarmState,
} from '../src/index.ts';

type Row = readonly [AlarmState, AlarmEvent, boolean, AlarmState];

/** ANSI/ISA-18.2-2016, states and transitions, from memory; latched states left out. */
const STANDARD: readonly Row[] = [
  ['normal', 'raise', true, 'unacknowledged'],
  ['unacknowledged', 'acknowledge', true, 'acknowledged'],
  ['unacknowledged', 'clear', false, 'returned-unacknowledged'],
  ['acknowledged', 'clear', false, 'normal'],
  ['returned-unacknowledged', 'acknowledge', false, 'normal'],
  ['returned-unacknowledged', 'reopen', true, 'unacknowledged'],
  ['unacknowledged', 'shelve', true, 'shelved'],
  ['acknowledged', 'shelve', true, 'shelved'],
  ['returned-unacknowledged', 'shelve', false, 'shelved'],
  ['shelved', 'unshelve', true, 'unacknowledged'],
  ['shelved', 'unshelve', false, 'normal'],
  ['shelved', 'shelf-expired', true, 'unacknowledged'],
  ['shelved', 'shelf-expired', false, 'normal'],
  ['unacknowledged', 'suppress', true, 'suppressed'],
  ['suppressed', 'unsuppress', true, 'unacknowledged'],
  ['suppressed', 'unsuppress', false, 'normal'],
  ['unacknowledged', 'take-out-of-service', true, 'out-of-service'],
  ['acknowledged', 'take-out-of-service', true, 'out-of-service'],
  ['returned-unacknowledged', 'take-out-of-service', false, 'out-of-service'],
  ['out-of-service', 'return-to-service', true, 'unacknowledged'],
  ['out-of-service', 'return-to-service', false, 'normal'],
];

/** What the standard leaves to us: one occurrence that reopens, rises, and is judged anew. */
const OURS: readonly Row[] = [
  ['normal', 'raise', false, 'returned-unacknowledged'],
  ['normal', 'reopen', true, 'unacknowledged'],
  ['unacknowledged', 'escalate', true, 'unacknowledged'],
  ['acknowledged', 'escalate', true, 'unacknowledged'],
  ['acknowledged', 'acknowledge', true, 'acknowledged'],
  ['unacknowledged', 'hand-on', true, 'unacknowledged'],
  ['unacknowledged', 'take-out-of-service', false, 'out-of-service'],
  ['acknowledged', 'take-out-of-service', false, 'out-of-service'],
  ['returned-unacknowledged', 'take-out-of-service', true, 'out-of-service'],
  ...([true, false] as const).flatMap((present): Row[] => [
    ['shelved', 'take-out-of-service', present, 'out-of-service'],
    ['suppressed', 'take-out-of-service', present, 'out-of-service'],
  ]),
  ['shelved', 'escalate', true, 'unacknowledged'],
  ['shelved', 'reopen', true, 'shelved'],
  ['shelved', 'clear', false, 'shelved'],
  ['shelved', 'shelve', true, 'shelved'],
  ['shelved', 'shelve', false, 'shelved'],
  ...(['suppressed', 'out-of-service'] as const).flatMap((state): Row[] => [
    [state, 'reopen', true, state],
    [state, 'escalate', true, state],
    [state, 'clear', false, state],
    [state, 'revise', true, state],
    [state, 'revise', false, state],
  ]),
  ...(['unacknowledged', 'acknowledged', 'shelved', 'suppressed', 'out-of-service'] as const).map(
    (state): Row => [state, 'reconsider', true, state],
  ),
  ['normal', 'revise', true, 'unacknowledged'],
  ['normal', 'revise', false, 'normal'],
  ['unacknowledged', 'revise', true, 'unacknowledged'],
  ['unacknowledged', 'revise', false, 'returned-unacknowledged'],
  ['acknowledged', 'revise', true, 'acknowledged'],
  ['acknowledged', 'revise', false, 'normal'],
  ['returned-unacknowledged', 'revise', true, 'unacknowledged'],
  ['returned-unacknowledged', 'revise', false, 'returned-unacknowledged'],
  ['shelved', 'revise', true, 'shelved'],
  ['shelved', 'revise', false, 'shelved'],
  ...ALARM_STATES.map((state): Row => [state, 'withdraw', false, 'normal']),
];

const nameOf = ([state, event, present]: readonly [AlarmState, AlarmEvent, boolean, unknown?]) =>
  `${state} ${event} ${present}`;

describe('the table of alarm states', () => {
  it.each(STANDARD)('follows the standard: %s, %s, condition present %s: %s', (...row) => {
    const [state, event, present, to] = row;
    expect(nextAlarmState(state, event, present)).toEqual({ ok: true, to });
  });

  it.each(OURS)('goes on from it: %s, %s, condition present %s: %s', (...row) => {
    const [state, event, present, to] = row;
    expect(nextAlarmState(state, event, present)).toEqual({ ok: true, to });
  });

  it('refuses every other combination with a reason', () => {
    const legal = new Set([...STANDARD, ...OURS].map(nameOf));
    const every = ALARM_STATES.flatMap((state) =>
      ALARM_EVENTS.flatMap((event) => [true, false].map((is) => [state, event, is] as const)),
    );
    expect(every).toHaveLength(7 * 16 * 2);
    const others = every.filter((row) => !legal.has(nameOf(row)));
    expect(others).toHaveLength(every.length - legal.size);
    for (const [state, event, present] of others) {
      const next = nextAlarmState(state, event, present);
      expect(next, nameOf([state, event, present])).toMatchObject({ ok: false });
      expect(next.ok ? '' : next.reason).toMatch(/^it[s ]/);
    }
  });

  it('lets a revision that raises the priority ask for attention again', () => {
    for (const state of ALARM_STATES) {
      const isSilenced = state === 'suppressed' || state === 'out-of-service';
      const present = isSilenced ? state : 'unacknowledged';
      const absent = isSilenced ? state : 'returned-unacknowledged';
      expect(revisedAlarmState(state, true, true)).toEqual({ ok: true, to: present });
      expect(revisedAlarmState(state, false, true)).toEqual({ ok: true, to: absent });
      expect(revisedAlarmState(state, true, false)).toEqual(nextAlarmState(state, 'revise', true));
    }
  });

  it('has a row for every state and a cell for every event', () => {
    expect(Object.keys(ALARM_TRANSITIONS).sort()).toEqual([...ALARM_STATES].sort());
    for (const row of Object.values(ALARM_TRANSITIONS)) {
      expect(Object.keys(row).sort()).toEqual([...ALARM_EVENTS].sort());
    }
  });
});
