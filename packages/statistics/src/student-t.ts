import { incompleteBeta, logGamma } from './incomplete-beta.ts';
import { normalQuantile } from './normal.ts';
import { requireBetween, requireNumber } from './ranges.ts';

/** Below one degree of freedom the tails have no use here; above a million it is the normal. */
const LEAST_FREEDOM = 1;
const MOST_FREEDOM = 1_000_000;
const LEAST_PROBABILITY = 1e-100;
/** Newton settles in under ten steps; halving the bracket alone would need about 400. */
const MOST_STEPS = 500;
const SETTLED = 4 * Number.EPSILON;

/**
 * Probability that a Student t deviate is at most `t`.
 *
 * Output: 0 to 1, about 12 digits, also in the lower tail.
 * Source: Abramowitz & Stegun 26.7.1, through the incomplete beta function.
 * Errors: RangeError unless t lies within 1e100 and degreesOfFreedom is 1 to 1,000,000.
 */
export function studentTCdf(t: number, degreesOfFreedom: number): number {
  requireNumber('t', t);
  requireBetween('degreesOfFreedom', degreesOfFreedom, LEAST_FREEDOM, MOST_FREEDOM);
  const tail = upperTail(Math.abs(t), degreesOfFreedom);
  return t < 0 ? tail : 1 - tail;
}

/**
 * The deviate that a Student t variable falls below with this probability.
 *
 * Output: t, about 11 digits.
 * Source: Newton's method on `studentTCdf`, kept inside a bracket.
 * Errors: RangeError unless probability is 1e-100 to less than 1 and degreesOfFreedom is 1 to
 * 1,000,000.
 */
export function studentTQuantile(probability: number, degreesOfFreedom: number): number {
  requireBetween('probability', probability, LEAST_PROBABILITY, 1 - Number.EPSILON / 2);
  requireBetween('degreesOfFreedom', degreesOfFreedom, LEAST_FREEDOM, MOST_FREEDOM);
  if (probability === 0.5) return 0;
  const tail = Math.min(probability, 1 - probability);
  const size = deviateWithTail(tail, degreesOfFreedom);
  return probability < 0.5 ? -size : size;
}

function upperTail(size: number, degreesOfFreedom: number): number {
  const ratio = size / Math.sqrt(degreesOfFreedom);
  const square = ratio * ratio;
  const half = degreesOfFreedom / 2;
  // Near the middle the complement keeps its digits, in the tail the plain form does.
  if (size < 1) return 0.5 - 0.5 * incompleteBeta(square / (1 + square), 0.5, half);
  return 0.5 * incompleteBeta(1 / (1 + square), half, 0.5);
}

function deviateWithTail(tail: number, degreesOfFreedom: number): number {
  let low = 0;
  let high = Math.max(1, -normalQuantile(tail));
  while (upperTail(high, degreesOfFreedom) > tail) {
    low = high;
    high *= 2;
  }
  let size = high;
  for (let step = 0; step < MOST_STEPS; step += 1) {
    const excess = upperTail(size, degreesOfFreedom) - tail;
    if (excess > 0) low = size;
    else high = size;
    // Steps in the logarithm of the tail, which is nearly straight far out.
    const slope = density(size, degreesOfFreedom) / (tail + excess);
    const newton = size + Math.log1p(excess / tail) / slope;
    const next = newton > low && newton < high ? newton : (low + high) / 2;
    if (Math.abs(next - size) <= SETTLED * size) return next;
    size = next;
  }
  return size;
}

function density(t: number, degreesOfFreedom: number): number {
  const half = degreesOfFreedom / 2;
  const logFront =
    logGamma(half + 0.5) - logGamma(half) - 0.5 * Math.log(degreesOfFreedom * Math.PI);
  return Math.exp(logFront - (half + 0.5) * Math.log1p((t * t) / degreesOfFreedom));
}
