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
