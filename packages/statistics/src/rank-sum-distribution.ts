/** Samples of this size and more use the normal approximation; below, counting takes < 20 ms. */
export const MOST_EXACT_VALUES = 50;

/**
 * Chances that the rank-sum count U is at most 0, 1, 2, ... when two samples do not differ.
 *
 * Output: `first * second + 1` probabilities, rising to 1.
 * Source: the recursion of Mann & Whitney (1947): the largest value belongs to one sample or to
 * the other.
 * Errors: none; the caller keeps both sizes at 1 or more and below `MOST_EXACT_VALUES`.
 */
export function cumulativeRankSums(first: number, second: number): Float64Array {
  const most = first * second;
  // ways[i][u]: orders of i first values and `grown` second ones with count u.
  const ways = Array.from({ length: first + 1 }, () => {
    const counts = new Float64Array(most + 1);
    counts[0] = 1;
    return counts;
  });
  for (let grown = 1; grown <= second; grown += 1) {
    for (let i = 1; i <= first; i += 1) {
      const counts = ways[i] ?? new Float64Array(0);
      const fewer = ways[i - 1] ?? new Float64Array(0);
      for (let u = i * grown; u >= grown; u -= 1) {
        counts[u] = (counts[u] as number) + (fewer[u - grown] as number);
      }
    }
  }
  return runningShares(ways[first] ?? new Float64Array(0));
}

function runningShares(counts: Float64Array): Float64Array {
  const total = counts.reduce((sum, count) => sum + count, 0);
  let sum = 0;
  return counts.map((count) => {
    sum += count;
    return Math.min(1, sum / total);
  });
}
