import { describe, expect, it } from 'vitest';
import { actOnAlarm, applyFinding, REOPEN_WITHIN_MS } from '../src/index.ts';
import { PRIORITY_STEPS_MOST } from '../src/priority-steps.ts';
import {
  alarmAfter,
  closed,
  contextOf,
  escalated,
  MINUTE_MS,
  opened,
  RAISED_MS,
  reconsidered,
} from './sample-alarm.ts';

const CLEARED_MS = RAISED_MS + 10 * MINUTE_MS;

describe('applyFinding', () => {
  it('raises a new alarm with the time of the finding', () => {
    const [entry, ...more] = applyFinding(null, opened(RAISED_MS, 'urgent'), contextOf());
    expect(more).toEqual([]);
    expect(entry).toMatchObject({
      event: 'raise',
      from: null,
      to: 'unacknowledged',
      by: 'watch',
      atMs: RAISED_MS,
      note: null,
    });
    expect(entry?.alarm).toMatchObject({
      id: 'a1',
      site: 'harbour-mall',
      unit: 'rtu-01',
      priority: 'urgent',
      state: 'unacknowledged',
      standing: true,
      raisedAtMs: RAISED_MS,
      clearedAtMs: null,
      revision: 1,
    });
    expect(entry?.alarm.priorities).toEqual([
      { priority: 'urgent', sinceMs: RAISED_MS, causes: opened(RAISED_MS).causes },
    ]);
  });

  it('refuses an id that could not be published', () => {
    const context = { ...contextOf(), newId: () => 'a/b' };
    expect(() => applyFinding(null, opened(RAISED_MS), context)).toThrow(RangeError);
  });

  it('lifts the priority of what stands, never lowers it', () => {
    const alarm = alarmAfter([
      opened(RAISED_MS),
      escalated(RAISED_MS + MINUTE_MS, 'emergency'),
      escalated(RAISED_MS + 2 * MINUTE_MS, 'urgent'),
    ]);
    expect(alarm.priority).toBe('emergency');
    expect(alarm.headline).toBe('Leakage to ground, emergency');
    expect(alarm.priorities.map(({ priority, sinceMs }) => [priority, sinceMs])).toEqual([
      ['routine', RAISED_MS],
      ['emergency', RAISED_MS + MINUTE_MS],
    ]);
    expect(alarm.raisedAtMs).toBe(RAISED_MS);
  });

  it('asks for attention again when an acknowledged or shelved alarm rises', () => {
    const alarm = alarmAfter([opened(RAISED_MS)]);
    const context = { atMs: RAISED_MS, by: 'office' };
    for (const action of [
      { type: 'acknowledge' },
      { type: 'shelve', untilMs: RAISED_MS + MINUTE_MS, reason: 'booked' },
    ] as const) {
      const done = actOnAlarm(alarm, action, context);
      const quiet = done.ok ? done.alarm : alarm;
      expect(quiet.state).not.toBe('unacknowledged');
      const [entry] = applyFinding(quiet, escalated(RAISED_MS + 1, 'urgent'), contextOf());
      expect(entry?.alarm).toMatchObject({
        state: 'unacknowledged',
        acknowledgedAtMs: null,
        acknowledgedBy: null,
        shelvedUntilMs: null,
        shelveReason: null,
      });
    }
  });

  it('clears what stands and keeps who acknowledged it', () => {
    const open = alarmAfter([opened(RAISED_MS)]);
    expect(applyFinding(open, closed(CLEARED_MS), contextOf())).toMatchObject([
      { event: 'clear', to: 'returned-unacknowledged', atMs: CLEARED_MS },
    ]);
    const acknowledged = actOnAlarm(open, { type: 'acknowledge' }, { atMs: 5, by: 'rosa' });
    const [entry] = acknowledged.ok
      ? applyFinding(acknowledged.alarm, closed(CLEARED_MS), contextOf())
      : [];
    expect(entry?.alarm).toMatchObject({
      state: 'normal',
      standing: false,
      clearedAtMs: CLEARED_MS,
      acknowledgedAtMs: 5,
      acknowledgedBy: 'rosa',
      revision: 3,
    });
  });

  it('reopens the alarm when raised within 60 minutes of clearing, the bound included', () => {
    const atMs = CLEARED_MS + REOPEN_WITHIN_MS;
    const alarm = alarmAfter([opened(RAISED_MS, 'urgent'), closed(CLEARED_MS), opened(atMs)]);
    expect(alarm).toMatchObject({
      id: 'a1',
      state: 'unacknowledged',
      standing: true,
      priority: 'urgent',
      raisedAtMs: RAISED_MS,
      clearedAtMs: null,
      revision: 3,
    });
    expect(alarm.priorities.map(({ priority, sinceMs }) => [priority, sinceMs])).toEqual([
      ['urgent', RAISED_MS],
      ['routine', atMs],
    ]);
  });

  it('takes the acknowledgement away when it reopens', () => {
    const cleared = alarmAfter([opened(RAISED_MS), closed(CLEARED_MS)]);
    const done = actOnAlarm(cleared, { type: 'acknowledge' }, { atMs: CLEARED_MS, by: 'rosa' });
    expect(done.ok && done.alarm.state).toBe('normal');
    const [entry] = done.ok
      ? applyFinding(done.alarm, opened(CLEARED_MS + MINUTE_MS), contextOf())
      : [];
    expect(entry).toMatchObject({ event: 'reopen', from: 'normal', to: 'unacknowledged' });
    expect(entry?.alarm.acknowledgedAtMs).toBeNull();
  });

  it('takes other causes into a standing alarm, with no step and no new call', () => {
    const stands = alarmAfter([opened(RAISED_MS, 'urgent')]);
    const acknowledged = actOnAlarm(stands, { type: 'acknowledge' }, { atMs: 0, by: 'ann' });
    const alarm = acknowledged.ok ? acknowledged.alarm : stands;
    const change = reconsidered(RAISED_MS + 60 * MINUTE_MS);
    const [entry, ...more] = applyFinding(alarm, change, contextOf());
    expect(more).toEqual([]);
    expect(entry).toMatchObject({ event: 'reconsider', from: 'acknowledged', to: 'acknowledged' });
    expect(entry?.alarm).toMatchObject({ priority: 'urgent', causes: change.causes });
    expect(entry?.alarm.priorities).toEqual(alarm.priorities);
    expect(applyFinding(entry?.alarm ?? null, change, contextOf())).toEqual([]);
    const older = reconsidered(RAISED_MS + 30 * MINUTE_MS);
    expect(applyFinding(entry?.alarm ?? null, older, contextOf())).toEqual([]);
  });

  it('has nothing to reconsider where none stands', () => {
    const change = reconsidered(CLEARED_MS + MINUTE_MS);
    const cleared = alarmAfter([opened(RAISED_MS), closed(CLEARED_MS)]);
    expect(applyFinding(cleared, change, contextOf())).toEqual([]);
    expect(applyFinding(null, change, contextOf())).toEqual([]);
  });

  it('lifts the priority in a second entry when it reopens above the highest reached', () => {
    const cleared = alarmAfter([opened(RAISED_MS), closed(CLEARED_MS)]);
    const entries = applyFinding(cleared, opened(CLEARED_MS + 1, 'urgent'), contextOf());
    expect(entries.map(({ event, alarm }) => [event, alarm.priority, alarm.revision])).toEqual([
      ['reopen', 'routine', 3],
      ['escalate', 'urgent', 4],
    ]);
    expect(entries[1]?.alarm.priorities.map(({ priority }) => priority)).toEqual([
      'routine',
      'urgent',
    ]);
  });

  it('leaves a shelved alarm shelved when it clears and reopens', () => {
    const open = alarmAfter([opened(RAISED_MS)]);
    const untilMs = RAISED_MS + 600 * MINUTE_MS;
    const done = actOnAlarm(
      open,
      { type: 'shelve', untilMs, reason: 'visit booked' },
      { atMs: RAISED_MS, by: 'rosa' },
    );
    const shelved = done.ok ? done.alarm : open;
    const [cleared] = applyFinding(shelved, closed(CLEARED_MS), contextOf());
    expect(cleared?.alarm).toMatchObject({ state: 'shelved', standing: false });
    const [again] = applyFinding(cleared!.alarm, opened(CLEARED_MS + 1), contextOf());
    expect(again?.alarm).toMatchObject({
      state: 'shelved',
      standing: true,
      shelvedUntilMs: untilMs,
      shelveReason: 'visit booked',
    });
  });

  it('raises a new alarm later, whether the old one was acknowledged or not', () => {
    const context = contextOf();
    const [first] = applyFinding(null, opened(RAISED_MS), context);
    const [cleared] = applyFinding(first!.alarm, closed(CLEARED_MS), context);
    const late = opened(CLEARED_MS + REOPEN_WITHIN_MS + 1);
    expect(applyFinding(cleared!.alarm, late, context)).toMatchObject([
      { event: 'raise', from: null, alarm: { id: 'a2', revision: 1, state: 'unacknowledged' } },
    ]);
  });

  it('counts an escalation of what does not stand as a raise', () => {
    expect(applyFinding(null, escalated(RAISED_MS, 'emergency'), contextOf())).toMatchObject([
      { event: 'raise', alarm: { priority: 'emergency' } },
    ]);
  });

  it('gives no entry for what is reflected already', () => {
    const open = alarmAfter([opened(RAISED_MS, 'urgent')]);
    expect(applyFinding(open, opened(RAISED_MS, 'urgent'), contextOf())).toEqual([]);
    expect(applyFinding(open, escalated(RAISED_MS, 'urgent'), contextOf())).toEqual([]);
    expect(applyFinding(open, closed(RAISED_MS - 1), contextOf())).toEqual([]);
    const cleared = alarmAfter([opened(RAISED_MS, 'urgent'), closed(CLEARED_MS)]);
    expect(applyFinding(cleared, opened(RAISED_MS, 'urgent'), contextOf())).toEqual([]);
    expect(applyFinding(cleared, closed(CLEARED_MS), contextOf())).toEqual([]);
    expect(applyFinding(null, closed(CLEARED_MS), contextOf())).toEqual([]);
    const again = alarmAfter([
      opened(RAISED_MS),
      closed(CLEARED_MS),
      opened(CLEARED_MS + MINUTE_MS),
    ]);
    expect(applyFinding(again, closed(CLEARED_MS), contextOf())).toEqual([]);
  });

  it('keeps the first step, the rises and the newest reopenings of an alarm that flutters', () => {
    const reopenings = PRIORITY_STEPS_MOST + 50;
    const fluttering = Array.from({ length: reopenings }, (_, index) => {
      const atMs = RAISED_MS + (index + 1) * 10 * MINUTE_MS;
      return [closed(atMs), opened(atMs + MINUTE_MS)];
    });
    const alarm = alarmAfter([
      opened(RAISED_MS),
      escalated(RAISED_MS + MINUTE_MS, 'urgent'),
      ...fluttering.flat(),
    ]);
    expect(alarm.id).toBe('a1');
    expect(alarm.priorities).toHaveLength(PRIORITY_STEPS_MOST);
    expect(
      alarm.priorities.slice(0, 2).map(({ priority, sinceMs }) => [priority, sinceMs]),
    ).toEqual([
      ['routine', RAISED_MS],
      ['urgent', RAISED_MS + MINUTE_MS],
    ]);
    expect(alarm.priorities.at(-1)?.sinceMs).toBe(RAISED_MS + (reopenings * 10 + 1) * MINUTE_MS);
  });
});
