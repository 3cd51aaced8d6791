/**
 * Digits beyond it only take room in the saved state; the slowest mean moves by far more a step.
 */
const PER_UNIT = 1e7;

/**
 * Exponential mean over event time: `previous` moves towards `value` by the share of
 * `timeConstantMs` that has passed. Takes `value` itself when there is no previous one.
 */
export function smoothed(
  previous: number | null,
  value: number,
  elapsedMs: number,
  timeConstantMs: number,
): number {
  if (previous === null) return value;
  const share = elapsedMs <= 0 ? 0 : elapsedMs / (elapsedMs + timeConstantMs);
  return Math.round(PER_UNIT * (previous + share * (value - previous))) / PER_UNIT;
}
