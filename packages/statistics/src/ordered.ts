/**
 * The element at a place that the caller's own arithmetic keeps inside the array.
 *
 * Source: no formula.
 * Errors: RangeError outside the array, so that a slip shows at once and no NaN travels.
 */
export function elementAt(values: ArrayLike<number>, index: number): number {
  const value = values[index];
  if (value === undefined) {
    throw new RangeError(`place must be 0 to ${values.length - 1}, got ${index}`);
  }
  return value;
}

/**
 * A sorted copy, smallest first.
 *
 * Source: no formula.
 * Errors: none; the caller has checked that all values are finite.
 */
export function ascending(values: ArrayLike<number>): Float64Array {
  return Float64Array.from(values).sort();
}

/**
 * The middle of sorted values; the mean of the two middle ones when their number is even.
 *
 * Source: definition of the median.
 * Errors: RangeError without values.
 */
export function middleOfSorted(sorted: ArrayLike<number>): number {
  const half = sorted.length >> 1;
  const upper = elementAt(sorted, half);
  return sorted.length % 2 === 1 ? upper : midpoint(elementAt(sorted, half - 1), upper);
}

/**
 * The value at a fractional place of sorted values, places counted from 0, linear between two.
 *
 * Source: linear interpolation between order statistics.
 * Errors: RangeError outside `0 .. length - 1`.
 */
export function sortedAt(sorted: ArrayLike<number>, place: number): number {
  const below = Math.floor(place);
  const low = elementAt(sorted, below);
  const share = place - below;
  if (share === 0) return low;
  return low * (1 - share) + elementAt(sorted, below + 1) * share;
}

/** Halves before adding where the sum would overflow. */
function midpoint(low: number, high: number): number {
  const sum = low + high;
  return Number.isFinite(sum) ? sum / 2 : low / 2 + high / 2;
}
