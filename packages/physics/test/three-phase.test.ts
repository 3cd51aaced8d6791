import { PhysicsRangeError, unbalancePercent } from '@lineside/physics';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from './between.ts';

const magnitude = between(0.1, 2000);

describe('NEMA MG 1 unbalance', () => {
  // Pure arithmetic, so 1e-9. Sources: MG 1's own example (460/467/450), the DOE motor tip sheet
  // (462/463/455), published worked examples (480/476/472, 224/231/226); the rest by hand.
  it.each([
    [460, 467, 450, (100 * 9) / 459],
    [462, 463, 455, (100 * 5) / 460],
    [480, 476, 472, (100 * 4) / 476],
    [224, 231, 226, (100 * 4) / 227],
    [20, 18, 22, 10],
    [10, 10, 0, 100],
    [115, 115, 230, 50],
    [100, 100, 50, 40],
  ])('of %d, %d and %d is %d %%', (a, b, c, percent) => {
    expect(Math.abs(unbalancePercent(a, b, c) - percent)).toBeLessThan(1e-9);
  });

  it('is the printed 1.96 % for 460/467/450, not the 2.15 % of negative sequence', () => {
    expect(unbalancePercent(460, 467, 450).toFixed(2)).toBe('1.96');
  });

  it('is zero for equal magnitudes and at most 200 %', () => {
    expect(unbalancePercent(17, 17, 17)).toBe(0);
    expect(unbalancePercent(5, 0, 0)).toBeCloseTo(200, 9);
  });

  it('does not depend on the order or on a common factor', () => {
    fc.assert(
      fc.property(magnitude, magnitude, magnitude, (a, b, c) => {
        const percent = unbalancePercent(a, b, c);
        expect(unbalancePercent(c, a, b)).toBeCloseTo(percent, 8);
        expect(unbalancePercent(b, a, c)).toBeCloseTo(percent, 8);
        expect(unbalancePercent(3 * a, 3 * b, 3 * c)).toBeCloseTo(percent, 8);
      }),
    );
  });

  it.each([
    [0, 0, 0],
    [-1, 5, 5],
    [5, Number.NaN, 5],
    [5, 5, Infinity],
  ])('refuses %d, %d, %d', (a, b, c) => {
    expect(() => unbalancePercent(a, b, c)).toThrow(PhysicsRangeError);
    expect(() => unbalancePercent(a, b, c)).toThrow(
      expect.objectContaining({ code: 'PHYSICS_MAGNITUDE_RANGE' }),
    );
  });
});
