import {
  hodgesLehmann,
  huberLocation,
  huberProposal2,
  median,
  medianDeviation,
  qnScale,
  quantile,
} from '@lineside/statistics';
import fc from 'fast-check';
import * as simple from 'simple-statistics';
import { describe, expect, it } from 'vitest';

const values = fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength: 2, maxLength: 30 });
const scales = fc.integer({ min: 1, max: 50 });
const shifts = fc.integer({ min: -500, max: 500 });

const locations: Record<string, (sample: readonly number[]) => number> = {
  median,
  'Hodges-Lehmann': hodgesLehmann,
  'Huber location': (sample) => huberLocation(sample).location,
  'Huber proposal 2': (sample) => huberProposal2(sample).location,
};
const spreads: Record<string, (sample: readonly number[]) => number> = {
  'median deviation': medianDeviation,
  Qn: qnScale,
  'Huber proposal 2': (sample) => huberProposal2(sample).scale,
};

describe.each(Object.entries(locations))('%s', (_, locate) => {
  it('moves and stretches with its values, in any order', () => {
    fc.assert(
      fc.property(values, scales, shifts, (sample, scale, shift) => {
        const moved = sample.map((value) => scale * value + shift).toReversed();
        expect(locate(moved)).toBeCloseTo(scale * locate(sample) + shift, 6);
      }),
    );
  });

  it('lies between the smallest and the largest value', () => {
    fc.assert(
      fc.property(values, (sample) => {
        const found = locate(sample);
        expect(found).toBeGreaterThanOrEqual(Math.min(...sample));
        expect(found).toBeLessThanOrEqual(Math.max(...sample));
      }),
    );
  });

  it('stays when a fifth of the values are wild', () => {
    const sample = Array.from({ length: 50 }, (_value, index) =>
      index % 5 === 0 ? 1e9 : (index % 7) - 3,
    );
    expect(Math.abs(locate(sample))).toBeLessThan(2);
  });

  it('refuses an empty sample and what is no number', () => {
    expect(() => locate([])).toThrow(RangeError);
    expect(() => locate([1, 2, Number.POSITIVE_INFINITY])).toThrow(
      'values[2] must be a number of -1e100 to 1e100, got Infinity',
    );
  });
});

describe.each(Object.entries(spreads))('%s as a scale', (_, spread) => {
  it('stretches with its values and does not care where they lie', () => {
    fc.assert(
      fc.property(values, scales, shifts, (sample, scale, shift) => {
        const moved = sample.map((value) => shift - scale * value);
        expect(spread(moved)).toBeCloseTo(scale * spread(sample), 6);
      }),
    );
  });

  it('is 0 for one repeated value and finite beside wild ones', () => {
    expect(spread([3, 3, 3, 3])).toBe(0);
    const sample = Array.from({ length: 50 }, (_value, index) =>
      index % 5 === 0 ? 1e9 : (index % 7) - 3,
    );
    expect(spread(sample)).toBeLessThan(6);
  });

  it('refuses what is no number', () => {
    expect(() => spread([1, Number.NaN])).toThrow(RangeError);
  });
});

describe('quantiles', () => {
  it('agree with simple-statistics where both are defined alike', () => {
    fc.assert(
      fc.property(values, (sample) => {
        expect(median(sample)).toBeCloseTo(simple.median(sample), 10);
        expect(medianDeviation(sample) / 1.482602218505602).toBeCloseTo(
          simple.medianAbsoluteDeviation(sample),
          8,
        );
      }),
    );
  });

  it('rise with the share, from the smallest to the largest value', () => {
    fc.assert(
      fc.property(values, fc.double({ min: 0, max: 1, noNaN: true }), (sample, share) => {
        const found = quantile(sample, share);
        expect(quantile(sample, 0)).toBe(Math.min(...sample));
        expect(quantile(sample, 1)).toBe(Math.max(...sample));
        expect(quantile(sample, share / 2)).toBeLessThanOrEqual(found + 1e-9);
      }),
    );
    expect(() => quantile([1], 1.5)).toThrow('share must be 0 to 1, got 1.5');
  });
});

describe('Huber estimates', () => {
  it('near the mean and standard deviation when hardly anything is clipped', () => {
    const sample = [1, 2, 3, 4, 6];
    expect(huberLocation(sample, 9).location).toBeCloseTo(3.2, 10);
    expect(huberProposal2(sample, 9).location).toBeCloseTo(3.2, 10);
    expect(huberProposal2(sample, 9).scale).toBeCloseTo(simple.sampleStandardDeviation(sample), 6);
  });

  it('refuse a clip outside its range', () => {
    expect(() => huberLocation([1, 2], 0)).toThrow('clip must be more than 0 and less than 10');
    expect(() => huberProposal2([1, 2], 10)).toThrow(RangeError);
  });
});
