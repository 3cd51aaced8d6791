/** Keeps sums, squares and products of squares far from overflow, and so from NaN. */
const LARGEST = 1e100;

/**
 * Throws unless `value` is a number of -1e100 to 1e100.
 *
 * Source: no formula.
 * Errors: RangeError that names the quantity, its value and the range.
 */
export function requireNumber(quantity: string, value: number): void {
  if (!(value >= -LARGEST && value <= LARGEST)) {
    throw new RangeError(`${quantity} must be a number of -1e100 to 1e100, got ${value}`);
  }
}

/**
 * Throws unless `low <= value <= high`; NaN is outside.
 *
 * Source: no formula.
 * Errors: RangeError that names the quantity, its value and the range.
 */
export function requireBetween(quantity: string, value: number, low: number, high: number): void {
  if (!(value >= low && value <= high)) {
    throw new RangeError(`${quantity} must be ${low} to ${high}, got ${value}`);
  }
}

/**
 * Throws unless `low < value < high`; NaN is outside.
 *
 * Source: no formula.
 * Errors: RangeError that names the quantity, its value and the range.
 */
export function requireInside(quantity: string, value: number, low: number, high: number): void {
  if (!(value > low && value < high)) {
    throw new RangeError(
      `${quantity} must be more than ${low} and less than ${high}, got ${value}`,
    );
  }
}

/**
 * Throws unless `value` is a finite number above zero.
 *
 * Source: no formula.
 * Errors: RangeError that names the quantity and its value.
 */
export function requirePositive(quantity: string, value: number): void {
  if (!(value > 0 && value < Number.POSITIVE_INFINITY)) {
    throw new RangeError(`${quantity} must be a finite number above 0, got ${value}`);
  }
}

/**
 * Throws unless `value` is a whole number of `low` to `high`.
 *
 * Source: no formula.
 * Errors: RangeError that names the quantity, its value and the range.
 */
export function requireCount(
  quantity: string,
  value: number,
  low: number,
  high: number = Number.MAX_SAFE_INTEGER,
): void {
  if (!(Number.isInteger(value) && value >= low && value <= high)) {
    throw new RangeError(`${quantity} must be a whole number of ${low} to ${high}, got ${value}`);
  }
}

/**
 * Throws unless `values` holds `least` to `most` numbers of -1e100 to 1e100.
 *
 * Source: no formula.
 * Errors: RangeError that names the quantity and what is wrong: the length, or which element.
 */
export function requireSeries(
  quantity: string,
  values: readonly number[],
  least: number,
  most: number = Number.MAX_SAFE_INTEGER,
): void {
  if (values.length < least || values.length > most) {
    throw new RangeError(`${quantity} must hold ${least} to ${most} values, got ${values.length}`);
  }
  for (const [index, value] of values.entries()) requireNumber(`${quantity}[${index}]`, value);
}
