import { elementAt } from './element-at.ts';
import {
  type LinearFit,
  leastSquares,
  type RegressionData,
  requireRegression,
  residualsOf,
  solveWeighted,
} from './least-squares.ts';
import { requireInside } from './ranges.ts';
import { deviationAbout } from './robust-scale.ts';

/** 95 % efficient for normal errors (Holland & Welsch 1977). */
const USUAL_TUNING = 1.345;
const MOST_ROUNDS = 200;
const SETTLED = 1e-10;

export interface HuberFit extends LinearFit {
  /** What each observation counted, 0 to 1. */
  readonly weights: readonly number[];
  /** Row by row, `coefficients.length` squared. */
  readonly covariance: readonly number[];
  readonly rounds: number;
}

/**
 * Robust regression: observations further from the line than `tuning` scales pull no harder than
 * those at that distance. Wild responses are borne; wild regressors are not, bound them first.
 *
 * Output: see `HuberFit`; `scale` is the median residual times 1.4826, and 0 when more than half
 * of the observations lie on the line.
 * Source: Huber (1973), Ann. Statist. 1, 799-821, by iteratively reweighted least squares;
 * covariance by Huber (1981), Robust Statistics, section 7.6 (his first form).
 * Errors: RangeError as `leastSquares`, and unless 0 < tuning < 10 and weights are left out.
 */
export function huberRegression(
  data: Omit<RegressionData, 'weights'>,
  tuning: number = USUAL_TUNING,
): HuberFit {
  requireInside('tuning', tuning, 0, 10);
  const size = requireRegression(data);
  let { coefficients, unitCovariance, residuals } = leastSquares({ ...data });
  const whole = unitCovariance;
  let scale = deviationAbout(residuals, 0);
  let weights = residuals.map(() => 1);
  let rounds = 0;
  while (rounds < MOST_ROUNDS && scale > 0) {
    rounds += 1;
    weights = residuals.map((residual) => weightOf(residual, tuning * scale));
    const next = solveWeighted(data, weights, size);
    const change = largestChange(coefficients, next.coefficients, whole, scale);
    ({ coefficients, unitCovariance } = next);
    residuals = residualsOf(data, coefficients);
    scale = deviationAbout(residuals, 0);
    if (change < SETTLED) break;
  }
  const factor = covarianceFactor(residuals, scale, tuning, size);
  const covariance = whole.map((entry) => entry * factor);
  return { coefficients, unitCovariance, scale, residuals, weights, covariance, rounds };
}

function weightOf(residual: number, reach: number): number {
  const size = Math.abs(residual);
  return size <= reach ? 1 : reach / size;
}

/** The largest change of a coefficient, in its standard errors. */
function largestChange(
  before: readonly number[],
  after: readonly number[],
  unitCovariance: readonly number[],
  scale: number,
): number {
  const size = before.length;
  return before.reduce((largest, value, index) => {
    const error = scale * Math.sqrt(elementAt(unitCovariance, index * size + index));
    return Math.max(largest, Math.abs(elementAt(after, index) - value) / error);
  }, 0);
}

/** The mean square of the clipped residuals, raised for the share that is clipped. */
function covarianceFactor(
  residuals: readonly number[],
  scale: number,
  tuning: number,
  size: number,
): number {
  const count = residuals.length;
  if (scale === 0 || count <= size) return 0;
  const reach = tuning * scale;
  const inside = residuals.filter((residual) => Math.abs(residual) <= reach).length / count;
  if (inside === 0) return 0;
  const clipped = residuals.map((residual) => Math.min(reach, Math.abs(residual)));
  const squares = clipped.reduce((sum, residual) => sum + residual * residual, 0);
  const small = 1 + ((size / count) * (1 - inside)) / inside;
  return (small * small * (squares / (count - size))) / (inside * inside);
}
