/** The trend test and the typical slope against worked examples and published results. */
import { mannKendall, seasonalMannKendall, sensSlope } from '@lineside/statistics';
import { describe, expect, it } from 'vitest';
import { MONTHLY_RAINFALL, SHAMPOO_SALES, WORKED_BY_HAND } from './trend-series.ts';

const present = (value: number | null): value is number => value !== null;
const places = (count: number): number[] => Array.from({ length: count }, (_, index) => index + 1);

describe('the Mann-Kendall test', () => {
  it('agrees with the example worked by hand (Holy Cross College)', () => {
    const { s, variance, z, twoSidedP } = mannKendall(WORKED_BY_HAND);
    expect(s).toBe(54);
    // 14 * 13 * 33 / 18 less 2 * 1 * 9 / 18 for the tied pair.
    expect(variance).toBeCloseTo(332.6667, 4);
    expect(z).toBeCloseTo(2.905836846, 9);
    // The example prints the one-sided 0.0018.
    expect(twoSidedP / 2).toBeCloseTo(0.0018, 4);
    // jstat 1.9.6
    expect(twoSidedP).toBeCloseTo(0.0036627, 6);
  });

  it('agrees with pyMannKendall on 353 months of rainfall', () => {
    const { s, variance, z, twoSidedP, tau } = mannKendall(MONTHLY_RAINFALL.filter(present));
    expect(s).toBe(-1959);
    expect(variance).toBeCloseTo(4889800.333333333, 8);
    expect(z).toBeCloseTo(-0.8854562842589916, 12);
    expect(twoSidedP).toBeCloseTo(0.37591058740506833, 12);
    expect(tau).toBeCloseTo(-0.03153167653875869, 12);
  });

  it('agrees with pyMannKendall on 36 months of sales', () => {
    const { s, variance } = mannKendall(SHAMPOO_SALES);
    expect(s).toBe(440);
    expect(variance).toBe(5390);
  });

  it('agrees with pyMannKendall on twelve seasons of rainfall', () => {
    const seasons = places(12).map((month) =>
      MONTHLY_RAINFALL.filter((_, index) => index % 12 === month - 1).filter(present),
    );
    const { s, variance, z, twoSidedP } = seasonalMannKendall(seasons);
    expect(s).toBe(-399);
    expect(variance).toBeCloseTo(34702.333333333336, 8);
    expect(z).toBeCloseTo(-2.136504114534638, 12);
    expect(twoSidedP).toBeCloseTo(0.03263834596177739, 12);
  });
});

describe("Sen's slope", () => {
  it('agrees with pyMannKendall on rainfall with gaps', () => {
    const months = places(360).filter((month) => MONTHLY_RAINFALL[month - 1] !== null);
    const { slope } = sensSlope(months, MONTHLY_RAINFALL.filter(present));
    expect(slope).toBeCloseTo(-0.006369426751592357, 15);
  });

  it('agrees with pyMannKendall on sales', () => {
    const { slope } = sensSlope(places(36), SHAMPOO_SALES);
    expect(slope).toBeCloseTo(11.509375, 9);
  });

  it("agrees with Gilbert's section 16.5 computed apart for the example worked by hand", () => {
    const { slope, low, high, intercept } = sensSlope(places(14), WORKED_BY_HAND);
    expect(slope).toBeCloseTo(17 / 30, 12);
    // Ranks 27.626 and 64.374 of 91, interpolated.
    expect(low).toBeCloseTo(0.32313, 5);
    expect(high).toBeCloseTo(0.86978, 5);
    expect(intercept).toBeCloseTo(12.2, 12);
  });

  it('agrees with the example of Theil in Hollander & Wolfe (9.1; the data from memory)', () => {
    const { slope } = sensSlope([1, 2, 3, 4, 5], [1.26, 1.27, 1.12, 1.16, 1.03]);
    expect(slope).toBeCloseTo(-0.05625, 12);
  });
});
