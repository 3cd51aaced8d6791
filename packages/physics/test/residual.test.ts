import {
  addedAtLeastMilliamps,
  addedAtMostMilliamps,
  PhysicsRangeError,
  quadratureRestMilliamps,
  quadratureSumMilliamps,
  residualMilliamps,
} from '@lineside/physics';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from './between.ts';

const current = between(0, 1000);
const angle = between(-360, 360);

describe('currents in one residual', () => {
  it('add to something between their difference and their sum', () => {
    fc.assert(
      fc.property(current, current, angle, (first, second, degrees) => {
        const total = residualMilliamps(first, second, degrees);
        expect(total).toBeLessThanOrEqual(first + second + 1e-9);
        expect(total).toBeGreaterThanOrEqual(Math.abs(first - second) - 1e-9);
      }),
    );
    expect(residualMilliamps(10, 3, 0)).toBe(13);
    expect(residualMilliamps(10, 3, 180)).toBeCloseTo(7, 12);
  });

  it('add as a right angle at 90 degrees', () => {
    fc.assert(
      fc.property(current, current, (first, second) => {
        const quadrature = quadratureSumMilliamps(first, second);
        expect(Math.abs(residualMilliamps(first, second, 90) - quadrature)).toBeLessThan(1e-9);
      }),
    );
  });

  it('give the resistive part back when the capacitive one is known', () => {
    fc.assert(
      fc.property(between(0.1, 100), current, (track, filter) => {
        const total = quadratureSumMilliamps(track, filter);
        expect(Math.abs(quadratureRestMilliamps(total, filter) / track - 1)).toBeLessThan(1e-6);
      }),
    );
    expect(quadratureRestMilliamps(5, 7)).toBe(0);
  });

  it('bound what came in addition, whatever its angle', () => {
    fc.assert(
      fc.property(current, current, angle, (before, added, degrees) => {
        const total = residualMilliamps(before, added, degrees);
        expect(addedAtLeastMilliamps(before, total)).toBeLessThanOrEqual(added + 1e-9);
        expect(addedAtMostMilliamps(before, total)).toBeGreaterThanOrEqual(added - 1e-9);
      }),
    );
  });

  it.each<[string, () => number, string]>([
    ['a negative current', () => residualMilliamps(-1, 1, 0), 'first current'],
    ['an angle of NaN', () => residualMilliamps(1, 1, Number.NaN), 'angle'],
    ['NaN in quadrature', () => quadratureSumMilliamps(1, Number.NaN), 'second current'],
    ['an infinite total', () => quadratureRestMilliamps(Infinity, 1), 'total in mA'],
    ['a negative reading', () => addedAtLeastMilliamps(1, -1), 'residual after'],
    ['NaN before', () => addedAtMostMilliamps(Number.NaN, 1), 'residual before'],
  ])('refuse %s', (_name, call, words) => {
    expect(call).toThrow(PhysicsRangeError);
    expect(call).toThrow(words);
  });
});
