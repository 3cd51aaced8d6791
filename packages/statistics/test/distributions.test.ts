import {
  incompleteBeta,
  logGamma,
  normalCdf,
  normalQuantile,
  normalTwoSided,
  studentTCdf,
  studentTQuantile,
  wilsonInterval,
} from '@lineside/statistics';
import fc from 'fast-check';
import jstat from 'jstat';
import { describe, expect, it } from 'vitest';

const { jStat } = jstat;
const probabilities = fc.double({ min: 1e-12, max: 1 - 1e-12, noNaN: true });
const freedoms = fc.double({ min: 1, max: 500, noNaN: true });

/** Abramowitz & Stegun 26.2.11: an independent series for the middle of the normal. */
function normalBySeries(z: number): number {
  let term = z;
  let sum = z;
  for (let odd = 3; Math.abs(term) > 1e-18; odd += 2) {
    term *= (z * z) / odd;
    sum += term;
  }
  return 0.5 + (sum * Math.exp((-z * z) / 2)) / Math.sqrt(2 * Math.PI);
}

/** Abramowitz & Stegun 26.2.14: an independent continued fraction for the tail. */
function normalTailByFraction(z: number): number {
  let fraction = z;
  for (let k = 400; k >= 1; k -= 1) fraction = z + k / fraction;
  return Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI) / fraction;
}

describe('the normal distribution', () => {
  it('agrees with the series of Abramowitz & Stegun in the middle', () => {
    for (let z = -3; z <= 3; z += 0.01) {
      expect(Math.abs(normalCdf(z) - normalBySeries(z))).toBeLessThan(2e-15);
    }
  });

  it('keeps its relative accuracy far out, by their continued fraction', () => {
    for (let z = 2; z <= 37; z += 0.1) {
      expect(normalCdf(-z) / normalTailByFraction(z)).toBeCloseTo(1, 12);
    }
  });

  it('comes back through its quantile', () => {
    fc.assert(
      fc.property(probabilities, (p) => {
        expect(normalCdf(normalQuantile(p)) / p).toBeCloseTo(1, 12);
      }),
    );
  });

  it('is symmetric and doubles its tail', () => {
    fc.assert(
      fc.property(fc.double({ min: -8, max: 8, noNaN: true }), (z) => {
        expect(normalCdf(z) + normalCdf(-z)).toBeCloseTo(1, 14);
        expect(normalTwoSided(z)).toBeCloseTo(2 * normalCdf(-Math.abs(z)), 14);
      }),
    );
  });

  it('refuses what is no number and what is no probability', () => {
    expect(() => normalCdf(Number.NaN)).toThrow('z must be a number of -1e100 to 1e100, got NaN');
    expect(() => normalCdf(Number.POSITIVE_INFINITY)).toThrow(RangeError);
    expect(() => normalQuantile(0)).toThrow('more than 0 and less than 1, got 0');
    expect(() => normalQuantile(1)).toThrow(RangeError);
  });
});

describe('the incomplete beta function', () => {
  it('agrees with jStat', () => {
    for (const a of [0.5, 1, 2.5, 17]) {
      for (const b of [0.5, 1, 3, 40]) {
        for (const x of [0.01, 0.3, 0.5, 0.77, 0.999]) {
          expect(incompleteBeta(x, a, b)).toBeCloseTo(jStat.beta.cdf(x, a, b), 6);
        }
      }
    }
  });

  it('is the binomial tail for whole parameters', () => {
    // P(at least 3 of 5) at 0.3, by hand: 10 * .027 * .49 + 5 * .0081 * .7 + .00243.
    expect(incompleteBeta(0.3, 3, 3)).toBeCloseTo(0.16308, 14);
    expect(incompleteBeta(0, 2, 3)).toBe(0);
    expect(incompleteBeta(1, 2, 3)).toBe(1);
  });

  it('has the factorials in its gamma function', () => {
    let factorial = 1;
    for (let n = 1; n <= 150; n += 1) {
      factorial *= n;
      expect(Math.abs(logGamma(n + 1) - Math.log(factorial))).toBeLessThan(3e-13);
    }
    expect(logGamma(0.5)).toBeCloseTo(Math.log(Math.PI) / 2, 14);
    expect(logGamma(0.1)).toBeCloseTo(jStat.gammaln(0.1), 10);
  });

  it('refuses what it is not defined for', () => {
    expect(() => incompleteBeta(1.1, 1, 1)).toThrow('x must be 0 to 1, got 1.1');
    expect(() => incompleteBeta(0.5, 0, 1)).toThrow(RangeError);
    expect(() => logGamma(0)).toThrow('x must be a finite number above 0');
  });
});

describe("Student's t distribution", () => {
  it('agrees with the closed forms for 1, 2 and 4 degrees of freedom', () => {
    for (let t = -30; t <= 30; t += 0.37) {
      expect(studentTCdf(t, 1)).toBeCloseTo(0.5 + Math.atan(t) / Math.PI, 13);
      expect(studentTCdf(t, 2)).toBeCloseTo(0.5 + t / (2 * Math.sqrt(2 + t * t)), 13);
      const u = t / Math.sqrt(4 + t * t);
      expect(studentTCdf(t, 4)).toBeCloseTo(0.5 + 0.75 * (u - u ** 3 / 3), 13);
    }
  });

  it('agrees with jStat', () => {
    for (const freedom of [1, 3, 7.5, 30, 200]) {
      for (const t of [-6, -2, -0.1, 0.5, 3]) {
        expect(studentTCdf(t, freedom)).toBeCloseTo(jStat.studentt.cdf(t, freedom), 7);
      }
    }
  });

  it('comes back through its quantile', () => {
    fc.assert(
      fc.property(probabilities, freedoms, (p, freedom) => {
        const t = studentTQuantile(p, freedom);
        expect(studentTCdf(t, freedom) / p).toBeCloseTo(1, 9);
      }),
    );
  });

  it('nears the normal with many degrees of freedom', () => {
    expect(studentTQuantile(0.975, 1e6)).toBeCloseTo(normalQuantile(0.975), 5);
    expect(studentTCdf(-4, 1e6)).toBeCloseTo(normalCdf(-4), 8);
    expect(studentTQuantile(0.5, 3)).toBe(0);
  });

  it('refuses what it is not defined for', () => {
    expect(() => studentTCdf(1, 0.5)).toThrow('degreesOfFreedom must be 1 to 1000000, got 0.5');
    expect(() => studentTCdf(Number.NaN, 5)).toThrow(RangeError);
    expect(() => studentTQuantile(1, 5)).toThrow('probability');
    expect(() => studentTQuantile(0, 5)).toThrow(RangeError);
  });
});

describe('the Wilson score interval', () => {
  it('solves |share - p| = z sqrt(p (1 - p) / n) at both ends', () => {
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 500 }), fc.nat(499), (of, part) => {
        const hits = 1 + (part % (of - 1));
        const { low, high } = wilsonInterval(hits, of, 0.9);
        const z = normalQuantile(0.95);
        for (const p of [low, high]) {
          expect(Math.abs(hits / of - p)).toBeCloseTo(z * Math.sqrt((p * (1 - p)) / of), 10);
        }
      }),
    );
  });

  it('mirrors hits and misses, and is exact at the ends', () => {
    const { low, high } = wilsonInterval(3, 20);
    const mirrored = wilsonInterval(17, 20);
    expect(mirrored.low).toBeCloseTo(1 - high, 14);
    expect(mirrored.high).toBeCloseTo(1 - low, 14);
    expect(wilsonInterval(0, 20).low).toBe(0);
    expect(wilsonInterval(20, 20).high).toBe(1);
    expect(wilsonInterval(0, 0)).toEqual({ low: 0, high: 1 });
  });

  it('refuses what is no share', () => {
    expect(() => wilsonInterval(3, 2)).toThrow('hits must be a whole number of 0 to 2, got 3');
    expect(() => wilsonInterval(1.5, 2)).toThrow(RangeError);
    expect(() => wilsonInterval(1, 2, 0)).toThrow('confidence');
  });
});
