/**
 * Saturation vapour pressure over water by the Magnus form, so that this world does not share the
 * formula of the house.
 *
 * Input:   -60 to 110 Cel.
 * Output:  Pa.
 * Source:  coefficients of O. Alduchov and R. Eskridge 1996 (from memory); within 0.4 % from -40 to
 *          50 Cel, worse outside.
 */
export function magnusPascals(celsius: number): number {
  return 610.94 * Math.exp((17.625 * celsius) / (243.04 + celsius));
}

/** Dew point of a vapour pressure above 0 Pa: the inverse of `magnusPascals`. */
export function magnusDewPointCelsius(pascals: number): number {
  const power = Math.log(pascals / 610.94);
  return (243.04 * power) / (17.625 - power);
}
