import { requireBetween, requirePositive } from './ranges.ts';

const LANCZOS_G = 7;
const LANCZOS = [
  0.9999999999998099, 676.5203681218851, -1259.1392167224028, 771.3234287776531, -176.6150291621406,
  12.507343278686905, -0.13857109526572012, 0.000009984369578019572, 1.5056327351493116e-7,
];
const HALF_LOG_TWO_PI = 0.5 * Math.log(2 * Math.PI);
/** The continued fraction needs about the root of the larger parameter; a million needs 2000. */
const MOST_TERMS = 10_000;
const SMALLEST = 1e-300;

/**
 * The natural logarithm of the gamma function.
 *
 * Output: about 14 digits for x of 0.5 and more.
 * Source: Lanczos (1964), SIAM J. Numer. Anal. B 1, 86-96, with g = 7 and nine terms (coefficients
 * from memory, checked against factorials).
 * Errors: RangeError unless x is finite and above 0.
 */
export function logGamma(x: number): number {
  requirePositive('x', x);
  if (x < 0.5) return Math.log(Math.PI / Math.sin(Math.PI * x)) - logGamma(1 - x);
  const shifted = x - 1;
  const base = shifted + LANCZOS_G + 0.5;
  let sum = LANCZOS[0] ?? 0;
  for (const [term, coefficient] of LANCZOS.entries()) {
    if (term > 0) sum += coefficient / (shifted + term);
  }
  return HALF_LOG_TWO_PI + (shifted + 0.5) * Math.log(base) - base + Math.log(sum);
}

/**
 * The regularised incomplete beta function I_x(a, b), the distribution of a beta variable.
 *
 * Output: 0 to 1, about 12 digits for a and b up to a million.
 * Source: Abramowitz & Stegun 26.5.8, by the modified Lentz method (Thompson & Barnett 1986).
 * Errors: RangeError unless 0 <= x <= 1 and a and b are finite and above 0.
 */
export function incompleteBeta(x: number, a: number, b: number): number {
  requireBetween('x', x, 0, 1);
  requirePositive('a', a);
  requirePositive('b', b);
  if (x === 0 || x === 1) return x;
  // The fraction converges fast only below the mean.
  if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(1 - x, b, a);
  const logFront =
    a * Math.log(x) + b * Math.log1p(-x) + logGamma(a + b) - logGamma(a) - logGamma(b);
  return (Math.exp(logFront) / a) * continuedFraction(x, a, b);
}

function continuedFraction(x: number, a: number, b: number): number {
  let c = 1;
  let d = 1 / awayFromZero(1 - ((a + b) * x) / (a + 1));
  let fraction = d;
  for (let m = 1; m <= MOST_TERMS; m += 1) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / awayFromZero(1 + even * d);
    c = awayFromZero(1 + even / c);
    fraction *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / awayFromZero(1 + odd * d);
    c = awayFromZero(1 + odd / c);
    const change = d * c;
    fraction *= change;
    if (Math.abs(change - 1) < Number.EPSILON) return fraction;
  }
  return fraction;
}

function awayFromZero(value: number): number {
  return Math.abs(value) < SMALLEST ? SMALLEST : value;
}
