import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { EventTimeBytes, parseEventTime } from '../src/backtest/event-time.ts';

const LAST_MS = Date.UTC(9999, 11, 31, 23, 59, 59, 999);

function fromBytes(text: string): number | null {
  const bytes = Buffer.from(`"${text}"`, 'latin1');
  return new EventTimeBytes().read(bytes, 1, bytes.length - 1);
}

describe('an event time', () => {
  it.each([
    ['2026-01-10T04:00:00Z', Date.UTC(2026, 0, 10, 4)],
    ['2026-01-10t04:00:00.25z', Date.UTC(2026, 0, 10, 4, 0, 0, 250)],
    ['2026-01-10T00:00:00-04:00', Date.UTC(2026, 0, 10, 4)],
    ['2026-01-10T09:30:00+05:30', Date.UTC(2026, 0, 10, 4)],
    ['2026-01-10T04:00:00.123600+00:00', Date.UTC(2026, 0, 10, 4, 0, 0, 124)],
    ['2024-02-29T00:00:00Z', Date.UTC(2024, 1, 29)],
    ['2016-12-31T23:59:60Z', Date.UTC(2017, 0, 1)],
    ['1970-01-01T00:00:00Z', 0],
    ['9999-12-31T23:59:59.999Z', LAST_MS],
  ])('%s is a time', (text, atMs) => {
    expect(parseEventTime(text)).toBe(atMs);
  });

  it.each([
    '2026-02-29T00:00:00Z',
    '2026-13-01T00:00:00Z',
    '2026-00-10T00:00:00Z',
    '2026-01-10T24:00:00Z',
    '2026-01-10T04:60:00Z',
    '2026-01-10T04:00:60Z',
    '2026-01-10T04:00:00',
    '2026-01-10 04:00:00Z',
    '2026-01-10',
    '20260110T040000Z',
    '2026-01-10T04:00:00+24:00',
    '2026-01-10T04:00:00+0400',
    '1969-12-31T23:59:59Z',
    '9999-12-31T23:59:59.9999Z',
    '1768017600',
    '',
  ])('%s is none', (text) => {
    expect(parseEventTime(text)).toBeNull();
    expect(fromBytes(text)).toBeNull();
  });

  it('reads the same from bytes', () => {
    const atMs = fc.integer({ min: 0, max: LAST_MS });
    fc.assert(
      fc.property(atMs, fc.boolean(), (ms, whole) => {
        const iso = new Date(ms).toISOString();
        const text = whole ? iso.replace(/\.\d+/, '') : iso;
        expect(fromBytes(text)).toBe(whole ? ms - (ms % 1000) : ms);
        expect(parseEventTime(text)).toBe(fromBytes(text));
      }),
    );
  });

  it('reads from bytes only what is a time', () => {
    const usual = '2026-01-10T04:00:00.250Z';
    const spoiled = fc
      .tuple(fc.nat(usual.length - 1), fc.constantFrom(...'0123456789TZ:-.+ é'))
      .map(([at, put]) => usual.slice(0, at) + put + usual.slice(at + 1));
    fc.assert(
      fc.property(spoiled, (text) => {
        const read = fromBytes(text);
        if (read !== null) expect(read).toBe(parseEventTime(text));
      }),
    );
  });
});
