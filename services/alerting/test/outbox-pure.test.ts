import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Breaker, type BreakerLimits } from '../src/outbox/breaker.ts';
import {
  PAUSE_FIRST_MS,
  PAUSE_LEAST_MS,
  PAUSE_MOST_MS,
  retryPauseMs,
} from '../src/outbox/retry-pause.ts';

describe('the pause after a failed attempt', () => {
  it('is spread between the shortest and a ceiling that doubles up to five minutes', () => {
    const ceilings = [1, 2, 3, 8, 9, 50].map((attempts) => retryPauseMs(attempts, null, 1));
    expect(ceilings).toEqual([2000, 4000, 8000, 256_000, 300_000, 300_000]);
    expect(retryPauseMs(7, null, 0)).toBe(PAUSE_LEAST_MS);
    expect(retryPauseMs(1, null, 0.5)).toBe((PAUSE_LEAST_MS + PAUSE_FIRST_MS) / 2);
  });

  it('stays within its bounds and is never less than what was asked for', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1000 }),
        fc.option(fc.integer({ min: 0, max: 900_000 })),
        fc.double({ min: 0, max: 0.999, noNaN: true }),
        (attempts, asked, random) => {
          const pauseMs = retryPauseMs(attempts, asked, random);
          expect(pauseMs).toBeGreaterThanOrEqual(Math.max(PAUSE_LEAST_MS, asked ?? 0));
          expect(pauseMs).toBeLessThanOrEqual(Math.max(PAUSE_MOST_MS, asked ?? 0));
        },
      ),
    );
  });

  it('asks for at least one attempt', () => {
    expect(() => retryPauseMs(0, null, 0)).toThrow(/1 or more/);
  });
});

describe('a breaker', () => {
  const LIMITS: BreakerLimits = {
    failures: 3,
    different: 1,
    pauseFirstMs: 100,
    pauseMostMs: 300,
  };

  function failing(breaker: Breaker, who: string, nowMs: number): void {
    breaker.failed(breaker.pass(), who, nowMs);
  }

  it('opens after failures in a row, and not after as many with an answer between', () => {
    const breaker = new Breaker(LIMITS);
    failing(breaker, 'x', 0);
    failing(breaker, 'x', 0);
    breaker.answered();
    failing(breaker, 'x', 0);
    failing(breaker, 'x', 0);
    expect(breaker.waitUntilMs(0)).toBeNull();
    failing(breaker, 'x', 0);
    expect(breaker.waitUntilMs(0)).toBe(100);
  });

  it('lets one probe at a time, with pauses that double up to the longest', () => {
    const breaker = new Breaker(LIMITS);
    for (let index = 0; index < 3; index += 1) failing(breaker, 'x', 0);
    const waits: number[] = [];
    let nowMs = 0;
    for (let index = 0; index < 4; index += 1) {
      const untilMs = breaker.waitUntilMs(nowMs)!;
      waits.push(untilMs - nowMs);
      nowMs = untilMs;
      expect(breaker.waitUntilMs(nowMs)).toBeNull();
      const probe = breaker.pass();
      expect(probe.isProbe).toBe(true);
      expect(breaker.waitUntilMs(nowMs)).toBeGreaterThan(nowMs);
      breaker.failed(probe, 'x', nowMs);
    }
    expect(waits).toEqual([100, 200, 300, 300]);
    breaker.answered();
    expect(breaker.isOpen).toBe(false);
  });

  it('lets another probe when one ended before the other side was asked', () => {
    const breaker = new Breaker(LIMITS);
    for (let index = 0; index < 3; index += 1) failing(breaker, 'x', 0);
    breaker.unused(breaker.pass());
    expect(breaker.isOpen).toBe(true);
    expect(breaker.waitUntilMs(100)).toBeNull();
  });

  it('hears nothing new from what was under way when it opened', () => {
    const breaker = new Breaker(LIMITS);
    const underWay = Array.from({ length: 6 }, () => breaker.pass());
    for (const pass of underWay) breaker.failed(pass, 'x', 0);
    expect(breaker.waitUntilMs(0)).toBe(100);
  });

  it('opens for a channel only when different doors are out of reach', () => {
    const breaker = new Breaker({ ...LIMITS, different: 2 });
    for (let index = 0; index < 9; index += 1) failing(breaker, 'x', 0);
    expect(breaker.isOpen).toBe(false);
    failing(breaker, 'y', 0);
    expect(breaker.isOpen).toBe(true);
  });
});
