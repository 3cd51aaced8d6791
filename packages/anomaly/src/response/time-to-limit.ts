import type { LeakageGrowth } from './leakage-growth.ts';

/** Days until wet days reach a limit, as growth and weather go on. */
export interface TimeToLimit {
  /** By then it is as likely as not. */
  readonly days: number;
  /** One in twenty, with the fastest growth that the weeks allow. */
  readonly soonestDays: number | null;
  /** Nineteen in twenty, with the slowest growth; null: perhaps never. */
  readonly latestDays: number | null;
}

/** Slower growth than this is within a sensor's drift. */
const LEAST_GROWTH_MILLIAMPS_PER_WEEK = 0.1;
const FURTHEST_WEEKS = 104;

/**
 * When a wet day of this unit first brings the limit: each week to come has the wettest film of
 * one of the weeks that were seen, as likely one as another.
 *
 * @param wettestMilliamps what the unit leaks now at the wettest film of each week that was seen.
 * @param wetDayMilliamps what it leaks now at the humidity that `growth` is of; growth at another
 *   humidity goes with the leakage there.
 * @returns null where it does not grow beyond doubt, or not to the limit within two years.
 */
export function timeToLimit(
  wettestMilliamps: readonly number[],
  wetDayMilliamps: number,
  limitMilliamps: number,
  growth: LeakageGrowth | null,
): TimeToLimit | null {
  if (growth === null || wettestMilliamps.length === 0 || wetDayMilliamps <= 0) return null;
  const { milliampsPerWeek, lowerMilliampsPerWeek: lower, upperMilliampsPerWeek: upper } = growth;
  if (milliampsPerWeek < LEAST_GROWTH_MILLIAMPS_PER_WEEK || lower === null || lower <= 0) {
    return null;
  }
  const daysAt = (perWeek: number | null, chance: number): number | null =>
    perWeek === null
      ? null
      : daysUntil(wettestMilliamps, perWeek / wetDayMilliamps, limitMilliamps, chance);
  const days = daysAt(milliampsPerWeek, 0.5);
  if (days === null) return null;
  const soonest = daysAt(upper, 0.05);
  const latest = daysAt(lower, 0.95);
  return { days, soonestDays: soonest, latestDays: latest };
}

/** Days until the limit was reached with this chance at least. */
function daysUntil(
  wettestMilliamps: readonly number[],
  sharePerWeek: number,
  limitMilliamps: number,
  chance: number,
): number | null {
  let spared = 1;
  for (let week = 0; week <= FURTHEST_WEEKS; week++) {
    const reached = wettestMilliamps.filter(
      (milliamps) => milliamps * (1 + sharePerWeek * week) >= limitMilliamps,
    ).length;
    spared *= 1 - reached / wettestMilliamps.length;
    if (1 - spared >= chance) return 7 * week;
  }
  return null;
}
