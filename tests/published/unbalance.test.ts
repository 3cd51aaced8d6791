import {
  motorDeratingFactor,
  negativeSequencePercent,
  unbalancePercent,
  windingHeatingPercent,
} from '@lineside/physics';
import { describe, expect, it } from 'vitest';

// Negative sequence by the formula of IEC 61000-4-30 clause 5.7 (as two open sources give it),
// evaluated independently and printed to six digits; NEMA by MG 1-14.36, pure arithmetic.
const EXAMPLES: readonly (readonly [number, number, number, number, number])[] = [
  [460, 467, 450, 2.146461, 1.960784],
  [462, 463, 455, 1.091427, 1.086957],
  [480, 476, 472, 0.970385, 0.840336],
  [224, 231, 226, 1.839985, 1.762115],
  [400, 380, 410, 4.424425, 4.201681],
  [20, 18, 22, 11.630539, 10],
  [100, 100, 50, 38.196601, 40],
  [Math.sqrt(3) * 10, 10, 10, 50, 39.230485],
  [10, 10, 0, 100, 100],
  [115, 115, 230, 100, 50],
];

describe('two definitions of unbalance', () => {
  it.each(EXAMPLES)('%d/%d/%d has %d %% of negative sequence', (a, b, c, sequence) => {
    expect(Math.abs(negativeSequencePercent(a, b, c) - sequence)).toBeLessThan(1e-6);
  });

  it.each(EXAMPLES)('%d/%d/%d (%d %%) is %d %% as NEMA defines it', (a, b, c, _s, nema) => {
    expect(Math.abs(unbalancePercent(a, b, c) - nema)).toBeLessThan(1e-6);
  });

  it('gives 1.694915 % for 220/216/213, where one manual prints 1.8 from a rounded mean', () => {
    expect(Math.abs(unbalancePercent(220, 216, 213) - 1.694915)).toBeLessThan(1e-6);
  });
});

describe('what unbalance does to a motor', () => {
  // NEMA MG 1 figure 14-1: 1.96 % as printed, the others from memory. A graph: 0.01.
  it.each([
    [0, 1],
    [1, 1],
    [1.96, 0.95],
    [2, 0.95],
    [3, 0.88],
    [4, 0.82],
    [5, 0.75],
  ])('%d %% leaves %d of the rated power', (percent, factor) => {
    expect(Math.abs(motorDeratingFactor(percent) - factor)).toBeLessThan(0.01);
  });

  // The rule's printed example is "3.5 % gives 25 %", to whole per cents.
  it.each([
    [1, 2, 1e-9],
    [2, 8, 1e-9],
    [2.5, 12.5, 1e-9],
    [3, 18, 1e-9],
    [3.5, 25, 0.5001],
    [5, 50, 1e-9],
  ])('%d %% heats the winding by %d %% more', (percent, more, tolerance) => {
    expect(Math.abs(windingHeatingPercent(percent) - more)).toBeLessThan(tolerance);
  });
});
