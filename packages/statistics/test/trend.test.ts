import {
  MOST_TREND_VALUES,
  mannKendall,
  seasonalMannKendall,
  sensSlope,
} from '@lineside/statistics';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { normalNoise } from './normal-noise.ts';

const series = fc.array(fc.integer({ min: -20, max: 20 }), { minLength: 3, maxLength: 40 });
const places = (count: number): number[] => Array.from({ length: count }, (_, index) => index);

describe('the trend test', () => {
  it('sees no trend in one repeated value', () => {
    expect(mannKendall([4, 4, 4, 4])).toEqual({
      s: 0,
      variance: 0,
      z: 0,
      twoSidedP: 1,
      tau: 0,
    });
  });

  it('turns its sign when time runs back', () => {
    fc.assert(
      fc.property(series, (values) => {
        const forward = mannKendall(values);
        const back = mannKendall(values.toReversed());
        expect(back.s).toBe(0 - forward.s);
        expect(back.z).toBeCloseTo(-forward.z, 12);
        expect(back.twoSidedP).toBe(forward.twoSidedP);
      }),
    );
  });

  it('cares for the order of values only', () => {
    fc.assert(
      fc.property(series, (values) => {
        expect(mannKendall(values.map((value) => value ** 3 + 7))).toEqual(mannKendall(values));
      }),
    );
  });

  it('has the variance of S over all orders of the values', () => {
    const values = [1, 2, 2, 5];
    const all = orders(values).map((order) => mannKendall(order).s);
    const meanSquare = all.reduce((sum, s) => sum + s * s, 0) / all.length;
    expect(mannKendall(values).variance).toBeCloseTo(meanSquare, 12);
  });

  it('of a single season is the plain test', () => {
    fc.assert(
      fc.property(series, (values) => {
        expect(seasonalMannKendall([values])).toEqual(mannKendall(values));
      }),
    );
  });

  it('refuses too few, too many and what is no number', () => {
    expect(() => mannKendall([1, 2])).toThrow('values must hold 3 to 5000 values, got 2');
    expect(() => mannKendall([1, 2, Number.NaN])).toThrow(
      new RangeError('values[2] must be a number of -1e100 to 1e100, got NaN'),
    );
    expect(() => mannKendall(new Array(MOST_TREND_VALUES + 1).fill(0))).toThrow(RangeError);
    expect(() => seasonalMannKendall([[1, 2]])).toThrow(RangeError);
    expect(() => seasonalMannKendall([])).toThrow(RangeError);
    expect(() => seasonalMannKendall([[1, 2, 3], [1]])).toThrow('seasons[1]');
  });
});

describe("Sen's slope", () => {
  it('finds a straight line whatever a quarter of the values are', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -50, max: 50 }),
        fc.integer({ min: -1000, max: 1000 }),
        (slope, wild) => {
          const values = places(20).map((time) => (time % 5 === 2 ? wild : 3 + slope * time));
          const found = sensSlope(places(20), values);
          expect(found.slope).toBeCloseTo(slope, 9);
          expect(found.intercept).toBeCloseTo(3, 9);
        },
      ),
    );
  });

  it('follows a change of scale, of place and of the unit of time', () => {
    fc.assert(
      fc.property(series, (values) => {
        const times = places(values.length);
        const plain = sensSlope(times, values);
        const moved = sensSlope(
          times.map((time) => time / 24),
          values.map((value) => 3 * value + 5),
        );
        expect(moved.slope).toBeCloseTo(72 * plain.slope, 8);
      }),
    );
  });

  it('has wider limits at a higher confidence, and none where it cannot know', () => {
    const values = [3, 1, 4, 1, 5, 9, 2, 6, 5, 3, 5, 8];
    const narrow = sensSlope(places(12), values, 0.8);
    const wide = sensSlope(places(12), values, 0.99);
    expect(wide.low).toBeLessThan(narrow.low ?? Number.NaN);
    expect(wide.high).toBeGreaterThan(narrow.high ?? Number.NaN);
    expect(sensSlope([1, 2, 3], [1, 5, 2], 0.99)).toMatchObject({ low: null, high: null });
  });

  it('keeps its limits around the true slope about as often as it says', () => {
    const noise = normalNoise(6000, 7);
    const runs = places(300).map((run) => {
      const values = noise.slice(run * 20, run * 20 + 20).map((value, time) => value + 0.1 * time);
      return sensSlope(places(20), values, 0.9);
    });
    const kept = runs.filter(({ low, high }) => (low ?? 1) <= 0.1 && (high ?? 0) >= 0.1).length;
    // Four standard errors of 300 draws at 0.9.
    expect(Math.abs(kept / 300 - 0.9)).toBeLessThan(0.07);
  });

  it('refuses times that do not rise and series of different length', () => {
    expect(() => sensSlope([1, 1, 2], [1, 2, 3])).toThrow(RangeError);
    expect(() => sensSlope([1, 2, 3], [1, 2])).toThrow('as many as times');
    expect(() => sensSlope([1, 2, 3], [1, 2, 3], 1)).toThrow('confidence');
  });
});

function orders(values: readonly number[]): number[][] {
  if (values.length <= 1) return [[...values]];
  return values.flatMap((first, index) =>
    orders(values.filter((_, other) => other !== index)).map((rest) => [first, ...rest]),
  );
}
