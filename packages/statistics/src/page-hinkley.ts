import { requireBetween, requireNumber, requirePositive } from './ranges.ts';

export interface PageHinkleySettings {
  /** Rise that is of no interest, in the unit of the values; 0 or more. */
  readonly tolerance: number;
  /** Where the test signals, in the unit of the values; above 0. */
  readonly limit: number;
  /** Whether the test forgets all after a signal and learns a new mean, or goes on. */
  readonly resetAfterSignal: boolean;
}

/** Plain data, bounded: survives JSON. */
export interface PageHinkleyState {
  readonly count: number;
  /** Mean of all values since the start. */
  readonly mean: number;
  /** Sum of (value - mean so far - tolerance), and the least that it has been. */
  readonly sum: number;
  readonly leastSum: number;
  /** sum - leastSum: what is compared with the limit. */
  readonly excess: number;
  readonly signal: boolean;
}

export interface PageHinkley {
  readonly start: PageHinkleyState;
  /** @throws RangeError unless value lies within 1e100. */
  readonly step: (state: PageHinkleyState, value: number) => PageHinkleyState;
}

const START: PageHinkleyState = {
  count: 0,
  mean: 0,
  sum: 0,
  leastSum: Number.MAX_VALUE,
  excess: 0,
  signal: false,
};

/**
 * The Page-Hinkley test for a rise of the mean, without a known target; for a fall give it the
 * negative of each value.
 *
 * Output: a test whose `step` is pure; some 20 ns each.
 * Source: Page (1954), Biometrika 41, 100-115; Hinkley (1971), Biometrika 58, 509-523; the mean
 * includes the newest value.
 * Errors: RangeError unless tolerance is 0 or more and finite and limit is finite and above 0;
 * `step` throws RangeError unless the value lies within 1e100.
 */
export function pageHinkley(settings: PageHinkleySettings): PageHinkley {
  const { tolerance, limit, resetAfterSignal } = settings;
  requireBetween('tolerance', tolerance, 0, Number.MAX_VALUE);
  requirePositive('limit', limit);
  return {
    start: START,
    step: (state, value) => {
      requireNumber('value', value);
      const from = resetAfterSignal && state.signal ? START : state;
      const count = from.count + 1;
      const mean = from.mean + (value - from.mean) / count;
      const sum = from.sum + value - mean - tolerance;
      const leastSum = Math.min(from.leastSum, sum);
      const excess = sum - leastSum;
      return { count, mean, sum, leastSum, excess, signal: excess > limit };
    },
  };
}
