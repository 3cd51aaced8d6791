import { describe, expect, it } from 'vitest';
import type { Shift } from '../src/api/types.ts';
import { actionsIn } from '../src/order/alarm-actions.ts';
import {
  coverOf,
  givable,
  listed,
  noteWords,
  spanWords,
  swapOf,
  turnDate,
  yourTimeWords,
} from '../src/order/rota-words.ts';
import { shelfEnds } from '../src/order/shelf-ends.ts';
import { formatRoute, parseRoute } from '../src/routes/route.ts';

const HALIFAX = 'America/Halifax';
const NOW_MS = Date.UTC(2026, 0, 15, 12);

const shift = (more: Partial<Shift> = {}): Shift => ({
  id: 'first-20260112T120000Z',
  ...{ team: 'north', call: 'first', kind: 'rotation', gap: null, changes: [] },
  ...{ from: '2026-01-12T12:00:00Z', to: '2026-01-19T12:00:00Z' },
  ...{ person: { id: 'ben', name: 'Ben Okafor' }, planned: { id: 'ben', name: 'Ben Okafor' } },
  ...more,
});

describe('the words of a shift', () => {
  it('are by the clock of the team', () => {
    expect(spanWords(shift(), HALIFAX, NOW_MS)).toBe('Mon 12 Jan 08:00 to Mon 19 Jan 08:00 AST');
  });

  it('say the time of whoever looks where it is another', () => {
    const atMs = Date.UTC(2026, 0, 19, 12);
    expect(yourTimeWords(atMs, HALIFAX, 'Europe/Berlin', NOW_MS)).toBe(
      'Mon 19 Jan 13:00 your time',
    );
    expect(yourTimeWords(atMs, HALIFAX, 'America/Halifax', NOW_MS)).toBe('');
  });

  it('say what is unusual', () => {
    expect(noteWords(shift())).toBe('');
    const covered = shift({ person: { id: 'cyd', name: 'Cyd Larsen' }, kind: 'holiday' });
    expect(noteWords(covered)).toBe('holiday, instead of Ben Okafor');
  });
});

describe('a list of shifts', () => {
  it('joins turns that nobody has for one reason, and nothing else', () => {
    const none = { person: null, planned: null, gap: 'nobody is in the rotation' };
    const rows = listed([
      shift(),
      shift({ ...none, from: '2026-01-19T12:00:00Z', to: '2026-01-26T12:00:00Z' }),
      shift({ ...none, from: '2026-01-26T12:00:00Z', to: '2026-02-02T12:00:00Z' }),
      shift({ ...none, gap: 'another reason' }),
      shift(),
      shift(),
    ]);
    expect(rows).toHaveLength(5);
    expect(rows[1]).toMatchObject({ from: '2026-01-19T12:00:00Z', to: '2026-02-02T12:00:00Z' });
  });
});

describe('a change', () => {
  it('names the whole turn of a part of it', () => {
    const part = shift({
      id: 'first-20260112T120000Z-20260114T100000Z',
      from: '2026-01-14T10:00:00Z',
    });
    expect(turnDate(part, HALIFAX)).toBe('2026-01-12');
    expect(turnDate(shift({ id: 'first-20260112T020000Z' }), HALIFAX)).toBe('2026-01-11');
  });

  it('is stated as the server takes it', () => {
    expect(coverOf(shift(), 'cyd', '2026-01-14T18:00', '2026-01-15T06:00')).toEqual({
      ...{ kind: 'cover', call: 'first', for: 'ben', by: 'cyd' },
      ...{ from: '2026-01-14T18:00', to: '2026-01-15T06:00' },
    });
    const other = shift({
      id: 'first-20260119T120000Z',
      person: { id: 'ana', name: 'Ana Reyes' },
    });
    expect(swapOf(shift(), other, HALIFAX)).toEqual({
      ...{ kind: 'swap', call: 'first' },
      one: { person: 'ben', shift: '2026-01-12' },
      other: { person: 'ana', shift: '2026-01-19' },
    });
  });

  it('is offered to technicians for their own shifts, to the office for all', () => {
    const shifts = [shift(), shift({ person: { id: 'ana', name: 'Ana Reyes' } })];
    expect(givable([...shifts, shift({ person: null })], 'north', null)).toHaveLength(2);
    expect(givable(shifts, 'north', 'ana')).toEqual([shifts[1]]);
    expect(givable(shifts, 'south', null)).toEqual([]);
  });
});

describe('the end of a shelf', () => {
  it('is ahead, in order, within the 30 days that the server takes', () => {
    const ends = shelfEnds(NOW_MS, HALIFAX).map(({ atMs }) => atMs);
    expect(ends).toEqual(ends.toSorted((one, other) => one - other));
    expect(Math.min(...ends)).toBeGreaterThan(NOW_MS);
    expect(Math.max(...ends) - NOW_MS).toBeLessThanOrEqual(30 * 86_400_000);
  });

  it('is a morning at the site, also over a change of the clocks', () => {
    const beforeSpringMs = Date.UTC(2026, 2, 7, 15);
    const tomorrow = shelfEnds(beforeSpringMs, HALIFAX)[1];
    expect(tomorrow?.words).toBe('tomorrow morning, until Sun 8 Mar 07:00');
    expect(tomorrow?.atMs).toBe(Date.UTC(2026, 2, 8, 10));
  });
});

describe('what can be done to an alarm', () => {
  it('depends on its state', () => {
    expect(actionsIn('unacknowledged')).toMatchObject({ acknowledge: true, handOn: true });
    expect(actionsIn('returned-unacknowledged')).toMatchObject({ handOn: false, shelve: true });
    expect(actionsIn('shelved')).toMatchObject({ unshelve: true, shelve: false });
    expect(Object.values(actionsIn('suppressed'))).not.toContain(true);
  });
});

describe('the address of the screen', () => {
  it('goes both ways', () => {
    expect(parseRoute('#/on-call')).toEqual({ screen: 'on-call' });
    expect(formatRoute({ screen: 'on-call' })).toBe('#/on-call');
    expect(parseRoute('#/on-call/x')).toEqual({ screen: 'nowhere' });
  });
});
