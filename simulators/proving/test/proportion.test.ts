import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { proportion, quartiles } from '../src/index.ts';

describe('proportion', () => {
  // Newcombe, Statistics in Medicine 17 (1998) 857-872, table I, method 3; figures from memory.
  it.each([
    [81, 263, 0.2553, 0.3662],
    [15, 148, 0.0624, 0.1605],
    [0, 20, 0, 0.1611],
    [1, 29, 0.0061, 0.1718],
  ])('gives the published interval of %i out of %i', (hits, of, low, high) => {
    const found = proportion(hits, of);
    expect(found.low).toBeCloseTo(low, 4);
    expect(found.high).toBeCloseTo(high, 4);
  });

  it('knows nothing without a case', () => {
    expect(proportion(0, 0)).toEqual({ hits: 0, of: 0, low: 0, high: 1 });
  });

  it('is the mirror of its complement, and holds the share', () => {
    const counts = fc
      .tuple(fc.nat(400), fc.nat(400))
      .map(([hits, misses]) => [hits, hits + misses] as const)
      .filter(([, of]) => of > 0);
    fc.assert(
      fc.property(counts, ([hits, of]) => {
        const { low, high } = proportion(hits, of);
        const mirror = proportion(of - hits, of);
        expect(low).toBeCloseTo(1 - mirror.high, 12);
        expect(low).toBeLessThanOrEqual(hits / of);
        expect(high).toBeGreaterThanOrEqual(hits / of);
      }),
    );
  });

  it('refuses more hits than cases', () => {
    expect(() => proportion(3, 2)).toThrow(/3 hits of 2 cases/);
  });
});

describe('quartiles', () => {
  it('interpolates between the values beside', () => {
    expect(quartiles([4, 1, 3, 2])).toEqual({ count: 4, lower: 1.75, median: 2.5, upper: 3.25 });
  });

  it('has nothing to say about no value', () => {
    expect(quartiles([])).toBeNull();
  });
});
