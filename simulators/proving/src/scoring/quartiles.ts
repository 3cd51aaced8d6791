/** What lies below a quarter, a half and three quarters of the values. */
export interface Quartiles {
  readonly count: number;
  readonly lower: number;
  readonly median: number;
  readonly upper: number;
}

/**
 * Quartiles by linear interpolation between order statistics: type 7 of Hyndman and Fan (1996).
 * Null when there is no value.
 */
export function quartiles(values: readonly number[]): Quartiles | null {
  if (values.length === 0) return null;
  const sorted = values.toSorted((one, other) => one - other);
  return {
    count: sorted.length,
    lower: quantile(sorted, 0.25),
    median: quantile(sorted, 0.5),
    upper: quantile(sorted, 0.75),
  };
}

function quantile(sorted: readonly number[], share: number): number {
  const place = (sorted.length - 1) * share;
  const below = sorted[Math.floor(place)] ?? Number.NaN;
  const above = sorted[Math.ceil(place)] ?? Number.NaN;
  return below + (above - below) * (place - Math.floor(place));
}
