import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { BEATING_PARTS, DEFAULT_BYSTANDER_LIMITS as LIMITS } from '../src/bystander/index.ts';
import { BystanderLife, beatsOf, MINUTE_MS, SECOND_MS } from './bystander-life.ts';

const PART = fc.constantFrom(...BEATING_PARTS);

describe('the bystander, whatever happens', () => {
  it('tells of no trouble without a stop', () => {
    const heard = fc.record({
      ageMs: fc.nat(2 * MINUTE_MS - 1),
      waiting: fc.nat(1_000_000),
      quietMs: fc.nat(59).map((seconds) => seconds * SECOND_MS),
    });
    fc.assert(
      fc.property(fc.array(heard, { maxLength: 60 }), (all) => {
        const life = new BystanderLife();
        for (const { ageMs, quietMs } of all) {
          life.hear({ kind: 'beats', beats: beatsOf(ageMs) });
          life.quietFor(quietMs);
        }
        expect(life.tellings).toEqual([]);
      }),
      { numRuns: 60 },
    );
  });

  it('tells each stop once an hour under one key, and its end once', () => {
    fc.assert(
      fc.property(PART, fc.integer({ min: 17, max: 400 }), fc.nat(50), (part, minutes, before) => {
        const life = new BystanderLife();
        life.beatFor((before + 1) * SECOND_MS, beatsOf(0));
        const stuckAtMs = life.nowMs;
        life.beatFor(minutes * MINUTE_MS, (nowMs) =>
          beatsOf(0, { part, ageMs: nowMs - stuckAtMs, waiting: 1 }),
        );
        life.beatFor(30 * MINUTE_MS, beatsOf(0));
        const stopped = life.tellings.filter(({ news }) => news === 'stopped');
        const again = life.tellings.filter(({ news }) => news === 'works-again');
        const toldForMinutes = minutes - LIMITS.stoppedAfterMs[part] / MINUTE_MS;
        const most = 1 + Math.floor(toldForMinutes / 60);
        expect(stopped.length).toBeLessThanOrEqual(most);
        expect(stopped.length).toBeGreaterThanOrEqual(1 + Math.floor((toldForMinutes - 1) / 60));
        expect(again).toHaveLength(1);
        expect(new Set(life.tellings.map(({ key }) => key)).size).toBe(1);
        expect(life.tellings.map(({ revision }) => revision)).toEqual(
          life.tellings.map((_, index) => index + 1),
        );
      }),
      { numRuns: 15 },
    );
  });

  it('tells a crash once an hour however often bystanders take over, and its end once', () => {
    const takeOvers = fc.array(fc.integer({ min: 1, max: 90 }), { minLength: 1, maxLength: 6 });
    fc.assert(
      fc.property(takeOvers, (downMinutes) => {
        const life = new BystanderLife();
        life.beatFor(MINUTE_MS, beatsOf(0));
        for (const minutes of downMinutes) {
          life.hear({ kind: 'closed' });
          life.quietFor(minutes * MINUTE_MS);
          life.handOver();
          life.hear({ kind: 'beats', beats: [] });
        }
        life.beatFor(30 * MINUTE_MS, beatsOf(0));
        const down = downMinutes.reduce((sum, minutes) => sum + minutes, 0);
        const stopped = life.tellings.filter(({ news }) => news === 'stopped');
        expect(stopped.length).toBe(1 + Math.floor((down - LIMITS.graceMs / MINUTE_MS) / 60));
        expect(life.tellings.filter(({ news }) => news === 'works-again')).toHaveLength(1);
        expect(new Set(life.tellings.map(({ key }) => key)).size).toBe(1);
      }),
      { numRuns: 20 },
    );
  });
});
