import { rankShift, rankSum } from '@lineside/statistics';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { normalNoise } from './normal-noise.ts';

const sample = fc.array(fc.integer({ min: -30, max: 30 }), { minLength: 1, maxLength: 12 });

/** All ways to choose `size` of the places 0 .. total - 1. */
function choices(total: number, size: number, from = 0): number[][] {
  if (size === 0) return [[]];
  const found: number[][] = [];
  for (let first = from; first <= total - size; first += 1) {
    for (const rest of choices(total, size - 1, first + 1)) found.push([first, ...rest]);
  }
  return found;
}

const pairsWon = (first: readonly number[], second: readonly number[]): number =>
  first.reduce(
    (sum, one) =>
      sum + second.reduce((won, other) => won + (one > other ? 1 : one === other ? 0.5 : 0), 0),
    0,
  );

describe('the rank-sum test', () => {
  it('counts the pairs that the first sample wins', () => {
    fc.assert(
      fc.property(sample, sample, (first, second) => {
        const { u, share } = rankSum(first, second);
        expect(u).toBe(pairsWon(first, second));
        expect(share).toBeCloseTo(u / (first.length * second.length), 14);
      }),
    );
  });

  it('turns around when the samples change places', () => {
    fc.assert(
      fc.property(sample, sample, (first, second) => {
        const one = rankSum(first, second);
        const other = rankSum(second, first);
        expect(other.z).toBeCloseTo(-one.z, 12);
        expect(other.greaterP).toBeCloseTo(one.lessP, 12);
        expect(other.twoSidedP).toBeCloseTo(one.twoSidedP, 12);
      }),
    );
  });

  it('has the exact chances of counting every choice of places', () => {
    const all = choices(9, 4).map((places) => {
      const others = [0, 1, 2, 3, 4, 5, 6, 7, 8].filter((place) => !places.includes(place));
      return { places, others, u: pairsWon(places, others) };
    });
    for (const { places, others, u } of all) {
      const test = rankSum(places, others);
      const asLarge = all.filter((one) => one.u >= u).length / all.length;
      expect(test.greaterP).toBeCloseTo(asLarge, 12);
    }
  });

  it('nears the exact chances by the normal approximation', () => {
    const first = Array.from({ length: 30 }, (_, index) => index * 1.1 + 3.03);
    const second = Array.from({ length: 40 }, (_, index) => index * 0.9);
    const exact = rankSum(first, second);
    const normal = rankSum(first, second, 'normal');
    expect([exact.method, normal.method]).toEqual(['exact', 'normal']);
    expect(Math.abs(normal.twoSidedP - exact.twoSidedP)).toBeLessThan(0.005);
  });

  it('has the variance of U over every choice of places when values tie', () => {
    const pool = [1, 1, 2, 3, 3, 3, 5];
    const all = choices(7, 3).map((places) => {
      const second = pool.filter((_, place) => !places.includes(place));
      return rankSum(
        places.map((place) => pool[place]!),
        second,
      );
    });
    const variance = all.reduce((sum, { u }) => sum + (u - 6) ** 2, 0) / all.length;
    const off = all.find(({ u }) => Math.abs(u - 6) > 1)!;
    expect(off.z).toBeCloseTo(
      (Math.sign(off.u - 6) * (Math.abs(off.u - 6) - 0.5)) / Math.sqrt(variance),
      12,
    );
  });

  it('sees no difference in one repeated value', () => {
    expect(rankSum([2, 2], [2, 2, 2])).toMatchObject({ u: 3, z: 0, twoSidedP: 1 });
  });

  it('refuses an empty sample and what is no number', () => {
    expect(() => rankSum([], [1])).toThrow('first must hold 1');
    expect(() => rankSum([1], [Number.NaN])).toThrow(
      'second[0] must be a number of -1e100 to 1e100',
    );
  });
});

describe('the shift between two samples', () => {
  it('moves and stretches with the samples', () => {
    fc.assert(
      fc.property(sample, sample, fc.integer({ min: 1, max: 9 }), (first, second, scale) => {
        const plain = rankShift(first, second);
        const moved = rankShift(
          first.map((value) => scale * value + 7),
          second.map((value) => scale * value),
        );
        expect(moved.shift).toBeCloseTo(scale * plain.shift + 7, 9);
        if (plain.low === null || plain.high === null) expect(moved.low).toBeNull();
        else {
          expect(moved.low).toBeCloseTo(scale * plain.low + 7, 9);
          expect(plain.low).toBeLessThanOrEqual(plain.shift);
          expect(plain.high).toBeGreaterThanOrEqual(plain.shift);
        }
      }),
    );
  });

  it('keeps its limits around the true shift at least as often as it says', () => {
    const noise = normalNoise(400 * 15, 3);
    const kept = Array.from({ length: 400 }, (_, run) => {
      const drawn = noise.slice(run * 15, run * 15 + 15);
      const { low, high } = rankShift(
        drawn.slice(0, 8).map((value) => value + 2),
        drawn.slice(8),
        0.9,
      );
      return (low ?? 3) <= 2 && (high ?? 1) >= 2;
    }).filter(Boolean).length;
    expect(kept / 400).toBeGreaterThan(0.9 - 0.045);
    expect(kept / 400).toBeLessThan(0.99);
  });

  it('gives nearly the same limits by counting and by approximation', () => {
    const first = Array.from({ length: 49 }, (_, index) => Math.sin(index * 12.9898) * 10);
    const second = Array.from({ length: 49 }, (_, index) => Math.sin(index * 78.233) * 10);
    const counted = rankShift(first, second);
    const approximate = rankShift([...first, counted.shift], second);
    expect(Math.abs((counted.low ?? 99) - (approximate.low ?? -99))).toBeLessThan(0.5);
    expect(Math.abs((counted.high ?? 99) - (approximate.high ?? -99))).toBeLessThan(0.5);
  });

  it('has no limits where it cannot know', () => {
    expect(rankShift([1, 2], [5, 6])).toEqual({ shift: -4, low: null, high: null });
    expect(() => rankShift([1], [2], 0)).toThrow('confidence');
  });
});
