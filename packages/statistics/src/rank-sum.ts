import { elementAt } from './element-at.ts';
import { normalCdf } from './normal.ts';
import { requireSeries } from './ranges.ts';
import { cumulativeRankSums, MOST_EXACT_VALUES } from './rank-sum-distribution.ts';
import { rankWithTies } from './ranks.ts';

/** What the test says about whether one sample lies above another. */
export interface RankSumTest {
  /** Pairs in which the first sample's value is the larger one; ties count half. */
  readonly u: number;
  /** The same as a share of all pairs, 0 to 1: the chance that a first value beats a second. */
  readonly share: number;
  /** Standard normal deviate with ties and continuity corrected; above 0 the first is higher. */
  readonly z: number;
  /** Chance of so large a `u`, or a larger one, without a difference. */
  readonly greaterP: number;
  /** Chance of so small a `u`, or a smaller one, without a difference. */
  readonly lessP: number;
  readonly twoSidedP: number;
  /** Whether the chances count all orders or come from the normal approximation. */
  readonly method: 'exact' | 'normal';
}

/**
 * Whether values of one sample tend to be larger than those of another (Mann-Whitney, Wilcoxon).
 *
 * Output: see `RankSumTest`; exact without ties when both samples are below 50, unless `normal`
 * is asked for.
 * Source: Mann & Whitney (1947), Ann. Math. Statist. 18, 50-60; corrections as in Hollander &
 * Wolfe (1973), section 4.1.
 * Errors: RangeError unless both samples hold one number within 1e100 or more.
 */
export function rankSum(
  first: readonly number[],
  second: readonly number[],
  method: 'exact-if-small' | 'normal' = 'exact-if-small',
): RankSumTest {
  requireSeries('first', first, 1);
  requireSeries('second', second, 1);
  const { ranks, ties } = rankWithTies([...first, ...second]);
  let rankTotal = 0;
  for (let index = 0; index < first.length; index += 1) rankTotal += elementAt(ranks, index);
  const u = rankTotal - (first.length * (first.length + 1)) / 2;
  const pairs = first.length * second.length;
  const sigma = Math.sqrt(rankSumVariance(first.length, second.length, ties));
  const off = u - pairs / 2;
  const z = sigma > 0 ? (Math.sign(off) * Math.max(0, Math.abs(off) - 0.5)) / sigma : 0;
  const small = Math.max(first.length, second.length) < MOST_EXACT_VALUES;
  const exact = method === 'exact-if-small' && small && ties.length === 0;
  const chances = exact ? exactChances(u, first.length, second.length) : normalChances(off, sigma);
  const twoSidedP = Math.min(1, 2 * Math.min(chances.greaterP, chances.lessP));
  return { u, share: u / pairs, z, ...chances, twoSidedP, method: exact ? 'exact' : 'normal' };
}

type Chances = Pick<RankSumTest, 'greaterP' | 'lessP'>;

function exactChances(u: number, first: number, second: number): Chances {
  const cumulative = cumulativeRankSums(first, second);
  // The distribution is symmetric about half of the pairs.
  return {
    lessP: elementAt(cumulative, u),
    greaterP: elementAt(cumulative, first * second - u),
  };
}

function normalChances(off: number, sigma: number): Chances {
  if (sigma === 0) return { greaterP: 1, lessP: 1 };
  return { greaterP: normalCdf((0.5 - off) / sigma), lessP: normalCdf((off + 0.5) / sigma) };
}

function rankSumVariance(first: number, second: number, ties: readonly number[]): number {
  const total = first + second;
  const tied = ties.reduce((sum, size) => sum + size * (size * size - 1), 0);
  return ((first * second) / 12) * (total + 1 - tied / (total * (total - 1)));
}
