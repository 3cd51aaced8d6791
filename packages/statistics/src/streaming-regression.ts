import { MOST_REGRESSORS, type Prediction } from './least-squares.ts';
import { requireBetween, requireCount, requireNumber, requirePositive } from './ranges.ts';
import { clippedVariance } from './robust-location.ts';
import {
  factoredStep,
  forget,
  projectRow,
  requireFactors,
  startFactors,
  type UdFactors,
} from './ud-factors.ts';

/** Keeps squares and their products far from overflow. */
const LARGEST_INPUT = 1e60;
/** How many observations the start's spread counts for. */
const START_SPREAD_COUNT = 10;

export interface StreamingRegressionSettings {
  /** What is known of each coefficient beforehand, in its own unit: about `mean`, give or take
   * `sd` (above 0). 1 to 12 of them. Forgetting never makes a coefficient less sure than this. */
  readonly priors: readonly { readonly mean: number; readonly sd: number }[];
  /** Standard deviation of the scatter to begin with, and what it never falls below; above 0. */
  readonly startSpread: number;
  readonly leastSpread: number;
  /** Share of the newest residual in the spread once settled; above 0, at most 0.2. */
  readonly spreadWeight: number;
  /** Deviations that pull in full; what is further off pulls no harder. 0.5 to 100. */
  readonly clipSigmas: number;
}

/** Plain data of fixed size: survives JSON. */
export interface StreamingRegressionState {
  readonly count: number;
  readonly coefficients: readonly number[];
  /** Standard deviation of the scatter about the line. */
  readonly spread: number;
  /** Covariance of the coefficients for scatter 1. */
  readonly factors: UdFactors;
}

export interface StreamingRegression {
  readonly start: StreamingRegressionState;
  /**
   * One more observation. `keep` is the share of what was known that stays, above 0 to 1:
   * exp(-elapsed / memory), or 1 to forget nothing.
   */
  readonly step: (
    state: StreamingRegressionState,
    row: readonly number[],
    response: number,
    keep?: number,
  ) => StreamingRegressionState;
  readonly predict: (state: StreamingRegressionState, row: readonly number[]) => Prediction;
}

/**
 * Regression of a stream by recursive least squares with forgetting and bounded influence: a wild
 * response moves the line no further than one at `clipSigmas` would. With `keep` 1 and nothing
 * clipped it equals `leastSquares` with ridge (startSpread / sd)^2 about the prior means.
 *
 * Standard errors hold for independent errors; where neighbours in time resemble each other, thin
 * out, or they come out too small. A fault that lasts is learned in the end: stop stepping, or
 * compare with a state kept from before.
 *
 * Output: a fit whose `step` is pure; some 0.4 us each for four regressors.
 * Source: Plackett (1950), Biometrika 37, 149-157; covariance kept as U D U' after Bierman (1977),
 * Factorization Methods for Discrete Sequential Estimation; weights of Huber (1964); the bound on
 * forgetting is our own.
 * Errors: RangeError for settings outside the ranges named there; `step` and `predict` throw
 * RangeError unless row has the right length, all numbers lie within 1e60 and 0 < keep <= 1.
 */
export function streamingRegression(settings: StreamingRegressionSettings): StreamingRegression {
  requireSettings(settings);
  const size = settings.priors.length;
  const priorVariances = settings.priors.map(({ sd }) => (sd / settings.startSpread) ** 2);
  const share = clippedVariance(Math.min(settings.clipSigmas, 30));
  const start: StreamingRegressionState = {
    count: 0,
    coefficients: settings.priors.map(({ mean }) => mean),
    spread: settings.startSpread,
    factors: startFactors(priorVariances),
  };
  return {
    start,
    step: (state, row, response, keep = 1) => {
      requireRow(row, size);
      requireFactors(state.factors, size);
      requireBetween('response', response, -LARGEST_INPUT, LARGEST_INPUT);
      requireKeep(keep);
      const known = keep === 1 ? state.factors : forget(state.factors, keep, priorVariances);
      return learned(settings, share, state, known, row, response);
    },
    predict: (state, row) => {
      requireRow(row, size);
      requireFactors(state.factors, size);
      const unit = projectRow(state.factors, row).variance;
      return {
        value: combined(state.coefficients, row),
        standardError: state.spread * Math.sqrt(unit),
        deviation: state.spread * Math.sqrt(1 + unit),
      };
    },
  };
}

function learned(
  settings: StreamingRegressionSettings,
  share: number,
  state: StreamingRegressionState,
  known: UdFactors,
  row: readonly number[],
  response: number,
): StreamingRegressionState {
  const { coefficients, spread } = state;
  const residual = response - combined(coefficients, row);
  const through = projectRow(known, row);
  const deviation = residual / (spread * Math.sqrt(1 + through.variance));
  const clip = settings.clipSigmas;
  const size = Math.abs(deviation);
  // A wild response counts as one of larger variance.
  const { factors, gain } = factoredStep(known, through, size > clip ? size / clip : 1);
  const next = coefficients.slice();
  for (let index = 0; index < next.length; index += 1) {
    next[index] = (next[index] as number) + (gain[index] as number) * residual;
  }
  const weight = Math.max(settings.spreadWeight, 1 / (state.count + START_SPREAD_COUNT));
  const pulled = Math.min(clip, size);
  const growth = 1 + weight * ((pulled * pulled) / share - 1);
  return {
    count: state.count + 1,
    coefficients: next,
    spread: Math.max(settings.leastSpread, spread * Math.sqrt(growth)),
    factors,
  };
}

function combined(coefficients: readonly number[], row: readonly number[]): number {
  let sum = 0;
  for (let index = 0; index < row.length; index += 1) {
    sum += (coefficients[index] as number) * (row[index] as number);
  }
  return sum;
}

function requireRow(row: readonly number[], size: number): void {
  if (row.length !== size) throw new RangeError(`row must hold ${size} values, got ${row.length}`);
  for (let index = 0; index < size; index += 1) {
    const value = row[index] as number;
    if (!(Math.abs(value) <= LARGEST_INPUT)) {
      throw new RangeError(`row[${index}] must be -1e60 to 1e60, got ${value}`);
    }
  }
}

function requireKeep(keep: number): void {
  if (!(keep > 0 && keep <= 1)) {
    throw new RangeError(`keep must be more than 0 and at most 1, got ${keep}`);
  }
}

function requireSettings(settings: StreamingRegressionSettings): void {
  requireCount('number of priors', settings.priors.length, 1, MOST_REGRESSORS);
  for (const [index, { mean, sd }] of settings.priors.entries()) {
    requireNumber(`priors[${index}].mean`, mean);
    requirePositive(`priors[${index}].sd`, sd);
  }
  requirePositive('startSpread', settings.startSpread);
  requirePositive('leastSpread', settings.leastSpread);
  requirePositive('spreadWeight', settings.spreadWeight);
  requireBetween('spreadWeight', settings.spreadWeight, 0, 0.2);
  requireBetween('clipSigmas', settings.clipSigmas, 0.5, 100);
}
