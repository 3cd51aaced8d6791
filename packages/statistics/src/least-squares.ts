import { elementAt } from './element-at.ts';
import { requireBetween, requireCount, requireNumber, requireSeries } from './ranges.ts';
import { inverseOfSquare, solveTriangle, triangulate } from './triangular.ts';

export const MOST_REGRESSORS = 12;
/** Beyond this a batch fit is the wrong tool: thin out or use the streaming one. */
export const MOST_ROWS = 100_000;

/** Observations: `rows[i]` holds the regressors of `responses[i]`, a 1 where a constant belongs. */
export interface RegressionData {
  readonly rows: readonly (readonly number[])[];
  readonly responses: readonly number[];
  /** Penalty on the square of each coefficient, in units of (response / coefficient)^2; 0 or more.
   * A prior knowledge "about 0, give or take sd" is (noise sd / sd)^2. */
  readonly ridge?: readonly number[];
  /** Weight of each observation, 0 or more, proportional to 1 / variance. */
  readonly weights?: readonly number[];
}

export interface LinearFit {
  readonly coefficients: readonly number[];
  /** Row by row; times the square of `scale` it is the covariance of the coefficients. */
  readonly unitCovariance: readonly number[];
  /** Standard deviation of the residuals; 0 when there are no more rows than regressors. */
  readonly scale: number;
  /** Response less fit, in the order of the rows. */
  readonly residuals: readonly number[];
}

export interface Prediction {
  readonly value: number;
  /** Standard error of the fitted line there. */
  readonly standardError: number;
  /** Standard deviation of a new observation there: the line's error and the scatter together. */
  readonly deviation: number;
}

/**
 * Least squares for a handful of regressors, with weights and a ridge.
 *
 * Output: see `LinearFit`. Standard errors hold for independent errors.
 * Source: QR by Householder reflections (Golub 1965); ridge of Hoerl & Kennard (1970).
 * Errors: RangeError unless there are 1 to 12 regressors and 1 to 100,000 rows of equal length,
 * all finite, weights and ridge 0 or more and of fitting length, and when a regressor without a
 * ridge is a combination of others.
 */
export function leastSquares(data: RegressionData): LinearFit {
  const size = requireRegression(data);
  const weights = data.weights ?? data.responses.map(() => 1);
  const { coefficients, unitCovariance } = solveWeighted(data, weights, size);
  const residuals = residualsOf(data, coefficients);
  let squares = 0;
  let effective = 0;
  for (const [index, residual] of residuals.entries()) {
    const weight = elementAt(weights, index);
    squares += weight * residual * residual;
    if (weight > 0) effective += 1;
  }
  const freedom = effective - size;
  return {
    coefficients,
    unitCovariance,
    scale: freedom > 0 ? Math.sqrt(squares / freedom) : 0,
    residuals,
  };
}

/**
 * What a fit expects for given regressors, and how sure it is.
 *
 * Output: see `Prediction`.
 * Source: variance of a linear combination.
 * Errors: RangeError unless row holds as many numbers within 1e100 as the fit has coefficients.
 */
export function predict(
  fit: Pick<LinearFit, 'coefficients' | 'unitCovariance' | 'scale'>,
  row: readonly number[],
): Prediction {
  const size = fit.coefficients.length;
  requireSeries('row', row, size, size);
  let value = 0;
  let variance = 0;
  for (const [i, left] of row.entries()) {
    value += left * elementAt(fit.coefficients, i);
    for (const [j, right] of row.entries()) {
      variance += left * right * elementAt(fit.unitCovariance, i * size + j);
    }
  }
  const unit = Math.max(0, variance);
  return {
    value,
    standardError: fit.scale * Math.sqrt(unit),
    deviation: fit.scale * Math.sqrt(1 + unit),
  };
}

/**
 * The number of regressors of data that a fit can use.
 *
 * Source: no formula.
 * Errors: RangeError as `leastSquares`, but for combinations.
 */
export function requireRegression(data: RegressionData): number {
  const { rows, responses, ridge, weights } = data;
  requireCount('number of rows', rows.length, 1, MOST_ROWS);
  requireSeries('responses', responses, rows.length, rows.length);
  const size = rows[0]?.length ?? 0;
  requireCount('number of regressors', size, 1, MOST_REGRESSORS);
  for (const [index, row] of rows.entries()) requireSeries(`rows[${index}]`, row, size, size);
  for (const [quantity, values, length] of [
    ['ridge', ridge, size],
    ['weights', weights, rows.length],
  ] as const) {
    if (values === undefined) continue;
    requireSeries(quantity, values, length, length);
    for (const value of values) requireBetween(quantity, value, 0, Number.MAX_VALUE);
  }
  return size;
}

/**
 * Coefficients and their covariance for scatter 1, given weights.
 *
 * Source: QR of rows times the root of their weight, with the ridge as further rows.
 * Errors: RangeError when a regressor is a combination of others.
 */
export function solveWeighted(
  data: RegressionData,
  weights: readonly number[],
  size: number,
): Pick<LinearFit, 'coefficients' | 'unitCovariance'> {
  const count = data.rows.length;
  const roots = weights.map(Math.sqrt);
  // The ridge comes as one more row for each regressor; without one they stay empty.
  const response = new Float64Array(count + size);
  for (let row = 0; row < count; row += 1) {
    response[row] = elementAt(data.responses, row) * elementAt(roots, row);
  }
  const columns = Array.from({ length: size }, (_, regressor) => {
    const column = new Float64Array(count + size);
    for (const [row, values] of data.rows.entries()) {
      column[row] = elementAt(values, regressor) * elementAt(roots, row);
    }
    column[count + regressor] = Math.sqrt(data.ridge?.[regressor] ?? 0);
    return column;
  });
  const triangle = triangulate(columns, response);
  const coefficients = [...solveTriangle(triangle)];
  for (const [index, value] of coefficients.entries()) requireNumber(`coefficient ${index}`, value);
  return { coefficients, unitCovariance: [...inverseOfSquare(triangle)] };
}

/**
 * Responses less what the coefficients expect.
 *
 * Source: definition of a residual.
 * Errors: RangeError when the lengths differ.
 */
export function residualsOf(data: RegressionData, coefficients: readonly number[]): number[] {
  return data.rows.map((row, index) => {
    let fitted = 0;
    for (const [column, value] of row.entries()) fitted += value * elementAt(coefficients, column);
    return elementAt(data.responses, index) - fitted;
  });
}
