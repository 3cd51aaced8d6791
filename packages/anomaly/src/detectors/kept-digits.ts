/**
 * Numbers to the digits that are worth keeping: more of them only take room in the saved state. Of
 * currents and leakage a sensor resolves no more.
 */

/** To two decimals: amperes, or milliamperes of what is learned over minutes. */
export function hundredths(value: number): number {
  return Math.round(value * 100) / 100;
}

/** To three decimals: milliamperes to the microampere. */
export function thousandths(value: number): number {
  return Math.round(value * 1e3) / 1e3;
}
