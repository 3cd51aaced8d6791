import { randomStream } from '@lineside/rooftop';
import { describe, expect, it } from 'vitest';
import { alarmBound, LikelihoodRatio, waldBounds } from '../src/ideal/likelihood-ratio.ts';

const gauss = randomStream(1, 'likelihood-ratio').gauss;

/** How many readings until the ratio is at the bound; `most` when it never is. */
function readingsUntil(bound: number, power: number, there: boolean, most: number): number {
  const ratio = new LikelihoodRatio();
  for (let count = 1; count <= most; count += 1) {
    if (there) ratio.present(power, gauss());
    else ratio.absent(power, gauss());
    if (ratio.log >= bound) return count;
  }
  return most;
}

describe('the bounds of a sequential test', () => {
  it('are ln((1 - beta) / alpha) and ln(beta / (1 - alpha)), as A. Wald (1945) gives them', () => {
    const { upper, lower } = waldBounds(0.05, 0.1);
    expect(upper).toBeCloseTo(Math.log(18), 12);
    expect(lower).toBeCloseTo(Math.log(2 / 19), 12);
  });

  it('refuse errors that are no chances', () => {
    expect(() => waldBounds(0, 0.1)).toThrow(/no test errs/);
    expect(() => waldBounds(0.6, 0.4)).toThrow(/no test errs/);
  });

  it('leave one false alarm in ten unit-years one in fifty to a watch of a fifth of a year', () => {
    expect(alarmBound(0.1, 0.2)).toBeCloseTo(Math.log(50), 12);
    expect(alarmBound(0.1, 20)).toBe(0);
    expect(() => alarmBound(0.1, 0)).toThrow(/sets no threshold/);
  });
});

describe('a likelihood ratio', () => {
  it('tells of a weak signal after the readings that theory gives, bound over d squared half', () => {
    // Wald's equation: mean readings times d^2/2 is the bound, but for the overshoot of 0.583 d
    // (D. Siegmund 1985).
    const d = 0.2;
    const bound = Math.log(50);
    const walks = 2000;
    let sum = 0;
    for (let walk = 0; walk < walks; walk += 1) sum += readingsUntil(bound, d * d, true, 100_000);
    const expected = (bound + 0.583 * d) / ((d * d) / 2);
    expect(Math.abs(sum / walks - expected)).toBeLessThan(0.05 * expected);
  });

  it('is lifted to 1 / alpha by noise alone in no more than alpha of all runs', () => {
    // Siegmund's correction for looks that are steps: alpha times exp(-0.583 d).
    const alpha = 0.05;
    const d = 0.3;
    const walks = 4000;
    let raised = 0;
    for (let walk = 0; walk < walks; walk += 1) {
      if (readingsUntil(-Math.log(alpha), d * d, false, 500) < 500) raised += 1;
    }
    expect(raised / walks).toBeLessThan(alpha);
    expect(Math.abs(raised / walks - alpha * Math.exp(-0.583 * d))).toBeLessThan(0.011);
  });

  it('errs at even odds by the tail of the normal distribution, 0.05 beyond 1.645', () => {
    // NIST/SEMATECH e-Handbook, table of the cumulative normal: 0.95 at 1.645.
    const readings = 16;
    const d = (2 * 1.645) / Math.sqrt(readings);
    const walks = 10_000;
    let wrong = 0;
    for (let walk = 0; walk < walks; walk += 1) {
      const ratio = new LikelihoodRatio();
      for (let count = 0; count < readings; count += 1) ratio.present(d * d, gauss());
      if (ratio.log < 0) wrong += 1;
    }
    expect(Math.abs(wrong / walks - 0.05)).toBeLessThan(0.008);
  });
});
