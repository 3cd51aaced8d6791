import { median, quantile } from '@lineside/statistics';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { uniformNumbers } from './normal-noise.ts';

/** The same by sorting. */
function sortedQuantile(values: readonly number[], share: number): number {
  const sorted = values.toSorted((a, b) => a - b);
  const place = share * (values.length - 1);
  const below = Math.floor(place);
  const part = place - below;
  return sorted[below]! * (1 - part) + (part > 0 ? sorted[below + 1]! * part : 0);
}

describe('selection without sorting', () => {
  it('finds what sorting finds, with many ties or none', () => {
    const ties = fc.array(fc.integer({ min: 0, max: 5 }), { minLength: 1, maxLength: 50 });
    const any = fc.array(fc.double({ noNaN: true, min: -1e9, max: 1e9 }), {
      minLength: 1,
      maxLength: 50,
    });
    fc.assert(
      fc.property(
        fc.oneof(ties, any),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (values, share) => {
          expect(quantile(values, share)).toBe(sortedQuantile(values, share));
        },
      ),
    );
  });

  it('finds what sorting finds in long series of any shape', () => {
    const random = uniformNumbers(20_001, 31);
    const shapes = [
      random,
      random.map((value) => Math.floor(4 * value)),
      random.toSorted((a, b) => a - b),
      random.toSorted((a, b) => b - a),
      random.map((_, index) => Math.min(index, 20_000 - index)),
      random.map(() => 3),
    ];
    for (const values of shapes) {
      for (const share of [0, 0.001, 0.25, 0.5, 0.777, 1]) {
        expect(quantile(values, share)).toBe(sortedQuantile(values, share));
      }
    }
  });

  it('leaves the values of the caller in their order', () => {
    const values = [3, 1, 2];
    expect(median(values)).toBe(2);
    expect(values).toEqual([3, 1, 2]);
  });
});
