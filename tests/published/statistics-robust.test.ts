/** Robust location and scale, rank sums and streaming quantiles against published results. */
import {
  hodgesLehmann,
  huberLocation,
  huberProposal2,
  median,
  medianDeviation,
  p2Quantile,
  p2Start,
  p2Step,
  qnScale,
  rankShift,
  rankSum,
} from '@lineside/statistics';
import { describe, expect, it } from 'vitest';
import { STACK_LOSS } from './regression-data.ts';

/** Copper in flour, Venables & Ripley (2002), section 5.5. */
const CHEM = [
  2.2, 2.2, 2.4, 2.4, 2.5, 2.7, 2.8, 2.9, 3.03, 3.03, 3.1, 3.37, 3.4, 3.4, 3.4, 3.5, 3.6, 3.7, 3.7,
  3.7, 3.7, 3.77, 5.28, 28.95,
];
/** Permeability of membranes, Hollander & Wolfe (1973), page 69. */
const AT_TERM = [0.8, 0.83, 1.89, 1.04, 1.45, 1.38, 1.91, 1.64, 0.73, 1.46];
const EARLIER = [1.15, 0.88, 0.9, 0.74, 1.21];

describe('robust location and scale', () => {
  it('agree with Venables & Ripley (2002) as the statsmodels tests quote them', () => {
    expect(median(CHEM)).toBeCloseTo(3.385, 12);
    expect(medianDeviation(CHEM)).toBeCloseTo(0.52632, 5);
    expect(qnScale(CHEM)).toBeCloseTo(0.73231, 4);
    const both = huberProposal2(CHEM);
    expect(both.location).toBeCloseTo(3.20549, 4);
    expect(both.scale).toBeCloseTo(0.67365, 4);
  });

  it('agree with Venables & Ripley (2002) for the scale held (from memory)', () => {
    expect(huberLocation(CHEM).location).toBeCloseTo(3.2067, 4);
  });

  it('agree with Qn of the R package robustbase as the statsmodels tests quote it', () => {
    // Their factor is rounded to 2.21914.
    expect(qnScale(Array.from({ length: 40 }, (_, index) => index))).toBeCloseTo(13.3148, 3);
    // Loss, air flow, temperature, acid.
    const columns = [0, 1, 2, 3].map((column) => STACK_LOSS.map((row) => row[column]!));
    const scales = columns.map(qnScale);
    expect(scales[1]).toBeCloseTo(8.87656, 4);
    expect(scales[2]).toBeCloseTo(2.21914, 4);
    expect(scales[3]).toBeCloseTo(4.43828, 4);
  });

  it('agree with the Hodges-Lehmann estimates computed apart', () => {
    expect(hodgesLehmann(AT_TERM)).toBeCloseTo(1.34, 12);
    expect(hodgesLehmann(EARLIER)).toBeCloseTo(0.975, 12);
  });
});

describe('the rank-sum test on Hollander & Wolfe (1973), page 69', () => {
  it('has the exact chances of R and SciPy', () => {
    const test = rankSum(AT_TERM, EARLIER);
    expect(test.method).toBe('exact');
    expect(test.u).toBe(35);
    expect(test.greaterP).toBeCloseTo(0.1272061272061, 12);
    expect(test.twoSidedP).toBeCloseTo(0.2544122544123, 12);
    expect(test.lessP).toBeCloseTo(0.8967698967699, 12);
  });

  it('has the normal chances of R and SciPy, with continuity', () => {
    const test = rankSum(AT_TERM, EARLIER, 'normal');
    expect(test.greaterP).toBeCloseTo(0.1223118025635, 12);
    expect(test.twoSidedP).toBeCloseTo(0.244623605127, 12);
    expect(test.lessP).toBeCloseTo(0.900775348204, 12);
  });

  it('has the shift of R, with its limits (from memory)', () => {
    const { shift, low, high } = rankShift(AT_TERM, EARLIER);
    expect(shift).toBeCloseTo(0.305, 12);
    expect(low).toBeCloseTo(-0.15, 12);
    expect(high).toBeCloseTo(0.76, 12);
  });

  it('says 1 where SciPy does for samples around each other', () => {
    const test = rankSum([1, 2, 3], [1.5, 2.5], 'normal');
    expect(test.u).toBe(3);
    expect(test.twoSidedP).toBe(1);
  });
});

describe('the P2 estimate of a median', () => {
  it('walks through the table of Jain & Chlamtac (1985; from memory)', () => {
    const values = [
      0.02, 0.15, 0.74, 3.39, 0.83, 22.37, 10.15, 15.43, 38.62, 15.92, 34.6, 10.28, 1.47, 0.4, 0.05,
      11.39, 0.27, 0.42, 0.09, 11.37,
    ];
    const state = values.reduce(p2Step, p2Start(0.5));
    const expected = [0.02, 0.49, 4.44, 17.2, 38.62];
    for (const [marker, height] of expected.entries()) {
      expect(state.heights[marker]).toBeCloseTo(height, 2);
    }
    expect(state.places).toEqual([1, 6, 10, 16, 20]);
    expect(p2Quantile(state)).toBeCloseTo(4.44, 2);
  });
});
