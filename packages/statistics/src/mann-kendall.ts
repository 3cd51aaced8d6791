import { normalTwoSided } from './normal.ts';
import { requireSeries } from './ranges.ts';
import { rankWithTies } from './ranks.ts';

/** All pairs are compared: 5000 values are 12.5 million, 0.1 s for the test, 1.5 s for a slope. */
export const MOST_TREND_VALUES = 5000;

/** What the test says about a monotone trend. */
export interface TrendTest {
  /** Pairs that rise less pairs that fall. */
  readonly s: number;
  /** Variance of `s` without a trend, with the correction for ties. */
  readonly variance: number;
  /** Standard normal deviate, with continuity correction; above 0 rises. */
  readonly z: number;
  /** Chance of so large a |z| without a trend, 0 to 1. */
  readonly twoSidedP: number;
  /** Kendall's rank correlation with time, -1 to 1 (tau-a: ties stay in the denominator). */
  readonly tau: number;
}

/**
 * Whether a series has a monotone trend. Observations must be independent of each other: thin out
 * or average what is not, or the test finds trends in noise.
 *
 * Output: see `TrendTest`; a series of one repeated value gives z 0 and p 1.
 * Source: Mann (1945); Kendall (1975); Gilbert (1987), Statistical Methods for Environmental
 * Pollution Monitoring, eq. 16.1-16.5. The normal approximation is good from about 10 values.
 * Errors: RangeError unless values holds 3 to 5000 numbers within 1e100, in order of time.
 */
export function mannKendall(values: readonly number[]): TrendTest {
  requireSeries('values', values, 3, MOST_TREND_VALUES);
  const pairs = (values.length * (values.length - 1)) / 2;
  return standardised(kendallS(values), kendallVariance(values), pairs);
}

/**
 * Whether the seasons of a series have a common monotone trend; values are compared only with
 * values of the same season.
 *
 * Output: see `TrendTest`; `tau` is over the pairs within seasons.
 * Source: Hirsch, Slack & Smith (1982), Water Resour. Res. 18, 107-121; Gilbert (1987), eq. 17.1 on.
 * Errors: RangeError unless there is a season, each holds 2 to 5000 numbers within 1e100 in order of
 * time (a missing one is left out), and together they hold 3 or more.
 */
export function seasonalMannKendall(seasons: readonly (readonly number[])[]): TrendTest {
  let s = 0;
  let variance = 0;
  let pairs = 0;
  for (const [index, season] of seasons.entries()) {
    requireSeries(`seasons[${index}]`, season, 2, MOST_TREND_VALUES);
    s += kendallS(season);
    variance += kendallVariance(season);
    pairs += (season.length * (season.length - 1)) / 2;
  }
  if (pairs < 2) throw new RangeError('seasons must hold 3 values or more together');
  return standardised(s, variance, pairs);
}

function standardised(s: number, variance: number, pairs: number): TrendTest {
  const z = variance > 0 ? (s - Math.sign(s)) / Math.sqrt(variance) : 0;
  return { s, variance, z, twoSidedP: normalTwoSided(z), tau: s / pairs };
}

function kendallS(values: readonly number[]): number {
  const series = Float64Array.from(values);
  let s = 0;
  for (let later = 1; later < series.length; later += 1) {
    const value = series[later] as number;
    for (let earlier = 0; earlier < later; earlier += 1) {
      const before = series[earlier] as number;
      if (value > before) s += 1;
      else if (value < before) s -= 1;
    }
  }
  return s;
}

function kendallVariance(values: readonly number[]): number {
  const term = (t: number): number => t * (t - 1) * (2 * t + 5);
  const ties = rankWithTies(values).ties.reduce((sum, tied) => sum + term(tied), 0);
  return (term(values.length) - ties) / 18;
}
