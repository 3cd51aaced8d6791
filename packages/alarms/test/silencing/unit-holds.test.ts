import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  HOLD_AHEAD_MOST_MS,
  HOLD_BACK_MOST_MS,
  HOLD_MOST_MS,
  type HoldRequest,
  type HoldSpan,
  holdEndMs,
  holdFault,
  holdInForce,
  isHeld,
} from '../../src/index.ts';
import { MINUTE_MS, RAISED_MS as NOW_MS } from '../sample-alarm.ts';

const VISIT: HoldRequest = {
  kind: 'maintenance',
  owner: 'rosa',
  reason: 'new disconnect',
  fromMs: NOW_MS,
  untilMs: NOW_MS + 240 * MINUTE_MS,
};

describe('a hold that somebody asks for', () => {
  it.each<readonly [string, Partial<HoldRequest>, string]>([
    ['nobody who answers for it', { owner: ' ' }, 'owner must say who answers for it'],
    ['an owner too long', { owner: 'x'.repeat(121) }, 'owner must have at most 120 characters'],
    ['no reason', { reason: '' }, 'reason must say why'],
    ['a reason too long', { reason: 'x'.repeat(301) }, 'reason must have at most 300 characters'],
    ['no begin', { fromMs: Number.NaN }, 'from must lie within the last day'],
    [
      'a begin long ago',
      { fromMs: NOW_MS - HOLD_BACK_MOST_MS - 1 },
      'from must lie within the last day',
    ],
    [
      'a begin far ahead',
      { fromMs: NOW_MS + HOLD_AHEAD_MOST_MS + 1, untilMs: NOW_MS + HOLD_AHEAD_MOST_MS + 2 },
      'from must lie within 90 days',
    ],
    ['no end', { untilMs: Number.NaN }, 'until must lie ahead'],
    ['an end that is over', { fromMs: NOW_MS - 2, untilMs: NOW_MS }, 'until must lie ahead'],
    ['an end before its begin', { fromMs: NOW_MS + 9, untilMs: NOW_MS + 9 }, 'until must be later'],
    [
      'more than 30 days of maintenance',
      { untilMs: NOW_MS + HOLD_MOST_MS.maintenance + 1 },
      'until must be at most 30 days after from',
    ],
    [
      'more than 180 days out of service',
      { kind: 'out-of-service', untilMs: NOW_MS + HOLD_MOST_MS['out-of-service'] + 1 },
      'until must be at most 180 days after from',
    ],
  ])('is refused with %s', (_, fields, words) => {
    const fault = holdFault({ ...VISIT, ...fields }, NOW_MS);
    expect(fault === null ? '' : `${fault.path} ${fault.words}`).toContain(words);
  });

  it('is taken up to its bounds', () => {
    expect(holdFault(VISIT, NOW_MS)).toBeNull();
    for (const kind of ['maintenance', 'out-of-service'] as const) {
      const fromMs = NOW_MS - HOLD_BACK_MOST_MS;
      const untilMs = fromMs + HOLD_MOST_MS[kind];
      expect(holdFault({ ...VISIT, kind, fromMs, untilMs }, NOW_MS)).toBeNull();
    }
  });
});

const span: fc.Arbitrary<HoldSpan> = fc
  .record({
    kind: fc.constantFrom('maintenance' as const, 'out-of-service' as const),
    fromMs: fc.nat({ max: 20 }),
    lengthMs: fc.integer({ min: 1, max: 20 }),
    endedAtMs: fc.option(fc.nat({ max: 40 })),
  })
  .map(({ lengthMs, ...rest }) => ({ ...rest, untilMs: rest.fromMs + lengthMs }));

describe('a hold in force', () => {
  it('is half open and ends by itself or before', () => {
    const hold: HoldSpan = { ...VISIT, endedAtMs: null };
    expect([-1, 0, 239, 240].map((minutes) => isHeld(hold, NOW_MS + minutes * MINUTE_MS))).toEqual([
      false,
      true,
      true,
      false,
    ]);
    const ended = { ...hold, endedAtMs: NOW_MS + MINUTE_MS };
    expect(isHeld(ended, NOW_MS)).toBe(true);
    expect(isHeld(ended, NOW_MS + MINUTE_MS)).toBe(false);
  });

  it('is the strongest of those that hold', () => {
    fc.assert(
      fc.property(fc.array(span, { maxLength: 6 }), fc.nat({ max: 40 }), (holds, atMs) => {
        const held = holds.filter((one) => isHeld(one, atMs));
        const found = holdInForce(holds, atMs);
        if (found === null) {
          expect(held).toEqual([]);
          return;
        }
        expect(held).toContain(found);
        const isOut = held.some(({ kind }) => kind === 'out-of-service');
        expect(found.kind).toBe(isOut ? 'out-of-service' : 'maintenance');
        const ends = held.filter(({ kind }) => kind === found.kind).map(holdEndMs);
        expect(holdEndMs(found)).toBe(Math.max(...ends));
      }),
    );
  });
});
