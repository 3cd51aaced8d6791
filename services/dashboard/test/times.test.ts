import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  clockTime,
  dayAndTime,
  duration,
  instantOfLocal,
  localFieldValue,
  relativeTime,
  zoneName,
} from '../src/words/times.ts';

const HALIFAX = 'America/Halifax';
const at = (text: string): number => Date.parse(text);

describe('times', () => {
  it('are those of the site, not of the screen', () => {
    expect(clockTime(at('2026-01-10T04:12:00Z'), HALIFAX)).toBe('00:12');
    expect(clockTime(at('2026-01-10T04:12:00Z'), 'America/Vancouver')).toBe('20:12');
  });

  it('name the zone as it is at that instant', () => {
    expect(zoneName(at('2026-01-10T04:12:00Z'), HALIFAX)).toBe('AST');
    expect(zoneName(at('2026-07-10T04:12:00Z'), HALIFAX)).toBe('ADT');
  });

  it('say today, leave out the running year and name another one', () => {
    const now = at('2026-01-10T14:00:00Z');
    expect(dayAndTime(at('2026-01-10T05:00:00Z'), HALIFAX, now)).toBe('today 01:00');
    expect(dayAndTime(at('2026-01-10T03:00:00Z'), HALIFAX, now)).toBe('9 Jan 23:00');
    expect(dayAndTime(at('2025-11-14T07:10:00Z'), HALIFAX, now)).toBe('14 Nov 2025 03:10');
  });

  it('are given in the one unit that matters', () => {
    expect([40_000, 99 * 60_000, 100 * 60_000, 49 * 3_600_000].map(duration)).toEqual([
      '40 s',
      '99 min',
      '1 h',
      '2 days',
    ]);
    expect(relativeTime(1_000_000, 1_010_000)).toBe('just now');
    expect(relativeTime(0, 720_000)).toBe('12 min ago');
    expect(relativeTime(5 * 3_600_000, 0)).toBe('in 5 h');
  });
});

describe('a date field', () => {
  it('gives back the instant it was filled with, on any day of any zone', () => {
    const zones = [HALIFAX, 'America/St_Johns', 'Australia/Lord_Howe', 'Asia/Kathmandu', 'UTC'];
    const minutes = fc.integer({ min: 27_000_000, max: 31_000_000 });
    fc.assert(
      fc.property(fc.constantFrom(...zones), minutes, (zone, minute) => {
        const read = instantOfLocal(localFieldValue(minute * 60_000, zone), zone);
        const repeatedHourMs = minute * 60_000 - (read ?? Number.NaN);
        expect([0, 1_800_000, 3_600_000]).toContain(repeatedHourMs);
      }),
    );
  });

  it('reads the first of two equal clock times in autumn', () => {
    expect(instantOfLocal('2026-11-01T01:30', HALIFAX)).toBe(at('2026-11-01T04:30:00Z'));
  });

  it('reads a time that spring skips with the offset before the jump', () => {
    expect(instantOfLocal('2026-03-08T02:30', HALIFAX)).toBe(at('2026-03-08T06:30:00Z'));
  });

  it('takes nothing else than a date and a time', () => {
    expect(instantOfLocal('yesterday', HALIFAX)).toBeNull();
    expect(instantOfLocal('2026-13-40T99:99', HALIFAX)).toBeNull();
  });
});
