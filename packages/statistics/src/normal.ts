import { requireInside, requireNumber } from './ranges.ts';

// Cody's rational approximations: |z| below 0.67448975, up to sqrt(32), and beyond.
const CENTRE_TOP = [
  0.06568233791820745, 2.2352520354606837, 161.02823106855587, 1067.6894854603709,
  18154.98125334356,
];
const CENTRE_BOTTOM = [
  1, 47.202581904688245, 976.0985517377767, 10260.932208618979, 45507.78933502673,
];
const SIDE_TOP = [
  1.0765576773720192e-8, 0.39894151208813466, 8.883149794388377, 93.50665613217785,
  597.2702763948002, 2494.5375852903726, 6848.190450536283, 11602.65143764735, 9842.714838383978,
];
const SIDE_BOTTOM = [
  1, 22.266688044328117, 235.387901782625, 1519.3775994075547, 6485.558298266761,
  18615.571640885097, 34900.95272114598, 38912.00328609327, 19685.429676859992,
];
const TAIL_TOP = [
  0.023073441764940174, 0.215898534057957, 0.12740116116024736, 0.022235277870649807,
  0.0014216191932278934, 0.000029112874951168793,
];
const TAIL_BOTTOM = [
  1, 1.284260096144911, 0.4682382124808651, 0.06598813786892856, 0.0037823963320275824,
  0.00007297515550839662,
];
const CENTRE_END = 0.67448975;
const SIDE_END = Math.sqrt(32);
const ONE_OVER_ROOT_TWO_PI = 0.3989422804014327;

// Wichura's PPND16: |p - 0.5| up to 0.425, r up to 5, and beyond.
const MIDDLE_TOP = [
  2509.0809287301227, 33430.57558358813, 67265.7709270087, 45921.95393154987, 13731.69376550946,
  1971.5909503065513, 133.14166789178438, 3.3871328727963665,
];
const MIDDLE_BOTTOM = [
  5226.495278852854, 28729.085735721943, 39307.89580009271, 21213.794301586597, 5394.196021424751,
  687.1870074920579, 42.31333070160091, 1,
];
const NEAR_TOP = [
  0.0007745450142783414, 0.022723844989269184, 0.2417807251774506, 1.2704582524523684,
  3.6478483247632045, 5.769497221460691, 4.630337846156546, 1.4234371107496835,
];
const NEAR_BOTTOM = [
  1.0507500716444169e-9, 0.0005475938084995345, 0.015198666563616457, 0.14810397642748008,
  0.6897673349851, 1.6763848301838038, 2.053191626637759, 1,
];
const FAR_TOP = [
  2.0103343992922881e-7, 0.000027115555687434876, 0.0012426609473880784, 0.026532189526576124,
  0.29656057182850487, 1.7848265399172913, 5.463784911164114, 6.657904643501103,
];
const FAR_BOTTOM = [
  2.0442631033899397e-15, 1.421511758316446e-7, 0.000018463183175100548, 0.0007868691311456133,
  0.014875361290850615, 0.1369298809227358, 0.599832206555888, 1,
];

/**
 * Probability that a standard normal deviate is at most `z`.
 *
 * Output: 0 to 1, about 15 digits, also in the lower tail (for an upper tail ask for `-z`).
 * Source: Cody (1969), Rational Chebyshev approximations for the error function, Math. Comp. 23,
 * 631-637, in the form of his ANORM (1993, ACM TOMS 19, algorithm 715); coefficients from memory,
 * checked against an independent series.
 * Errors: RangeError unless z lies within 1e100.
 */
export function normalCdf(z: number): number {
  requireNumber('z', z);
  const size = Math.abs(z);
  if (size <= CENTRE_END) {
    const square = z * z;
    return 0.5 + (z * polynomial(CENTRE_TOP, square)) / polynomial(CENTRE_BOTTOM, square);
  }
  const tail = size <= SIDE_END ? sideTail(size) : farTail(size);
  return z < 0 ? tail : 1 - tail;
}

/**
 * The deviate that a standard normal falls below with this probability.
 *
 * Output: z, about 16 digits.
 * Source: Wichura (1988), Algorithm AS 241 (PPND16), Appl. Statist. 37, 477-484; coefficients from
 * memory, checked against the values that the paper prints.
 * Errors: RangeError unless 0 < probability < 1.
 */
export function normalQuantile(probability: number): number {
  requireInside('probability', probability, 0, 1);
  const fromMiddle = probability - 0.5;
  if (Math.abs(fromMiddle) <= 0.425) {
    const r = 0.180625 - fromMiddle * fromMiddle;
    return (fromMiddle * polynomial(MIDDLE_TOP, r)) / polynomial(MIDDLE_BOTTOM, r);
  }
  const depth = Math.sqrt(-Math.log(Math.min(probability, 1 - probability)));
  const z =
    depth <= 5
      ? polynomial(NEAR_TOP, depth - 1.6) / polynomial(NEAR_BOTTOM, depth - 1.6)
      : polynomial(FAR_TOP, depth - 5) / polynomial(FAR_BOTTOM, depth - 5);
  return fromMiddle < 0 ? -z : z;
}

/**
 * The chance of a standard normal deviate at least as far from 0 as `z`, on either side.
 *
 * Output: 0 to 1.
 * Source: twice the tail of `normalCdf`.
 * Errors: RangeError unless z lies within 1e100.
 */
export function normalTwoSided(z: number): number {
  return Math.min(1, 2 * normalCdf(-Math.abs(z)));
}

function sideTail(size: number): number {
  return (exponential(size) * polynomial(SIDE_TOP, size)) / polynomial(SIDE_BOTTOM, size);
}

function farTail(size: number): number {
  const inverse = 1 / (size * size);
  const series = (inverse * polynomial(TAIL_TOP, inverse)) / polynomial(TAIL_BOTTOM, inverse);
  return (exponential(size) * (ONE_OVER_ROOT_TWO_PI - series)) / size;
}

/** exp(-z^2/2) with z split in sixteenths, so that the square keeps its last digits. */
function exponential(size: number): number {
  const coarse = Math.trunc(size * 16) / 16;
  const rest = (size - coarse) * (size + coarse);
  return Math.exp(-0.5 * coarse * coarse) * Math.exp(-0.5 * rest);
}

/** Horner's rule, highest power first. */
function polynomial(coefficients: readonly number[], x: number): number {
  let sum = 0;
  for (const coefficient of coefficients) sum = sum * x + coefficient;
  return sum;
}
