import { sensSlope } from '@lineside/statistics';
import type { WeekSeen } from './leakage-response.ts';
import { TESTING_PERCENT } from './leakage-response.ts';

/** Growth per week with its limits at 90 % confidence; limits are null for too few weeks. */
export interface LeakageGrowth {
  readonly milliampsPerWeek: number;
  readonly lowerMilliampsPerWeek: number | null;
  readonly upperMilliampsPerWeek: number | null;
  /** How many weeks it rests on. */
  readonly weeks: number;
}

/** Days until wet days reach a limit, as growth goes on. */
export interface TimeToLimit {
  readonly days: number;
  readonly soonestDays: number | null;
  /** null: perhaps never. */
  readonly latestDays: number | null;
}

const LEAST_WEEKS = 3;
const CONFIDENCE = 0.9;
/** Slower growth than this reaches no limit within years, and is within a sensor's drift. */
const LEAST_GROWTH_MILLIAMPS_PER_WEEK = 0.1;
const FURTHEST_DAYS = 730;

/** Growth of dry-weather leakage, from all weeks that tell it; null before three do. */
export function dryGrowth(weeks: readonly WeekSeen[]): LeakageGrowth | null {
  return growthOf(weeks.flatMap(([week, dry]) => (dry === null ? [] : [[week, dry] as const])));
}

/** Growth of wet-day leakage, from weeks that were wet enough to show it; null before three were. */
export function wetGrowth(weeks: readonly WeekSeen[]): LeakageGrowth | null {
  return growthOf(
    weeks.flatMap(([week, , wet, wettest]) =>
      wet === null || wettest < TESTING_PERCENT ? [] : [[week, wet] as const],
    ),
  );
}

/**
 * When the leakage of the unit's own wet days reaches the limit.
 *
 * @param milliamps what a wet day of this unit brings now.
 * @param growth of wet days; null: not known.
 * @returns null when it does not grow beyond doubt, or not within two years.
 */
export function timeToLimit(
  milliamps: number,
  limitMilliamps: number,
  growth: LeakageGrowth | null,
): TimeToLimit | null {
  if (growth === null || growth.milliampsPerWeek < LEAST_GROWTH_MILLIAMPS_PER_WEEK) return null;
  const daysAt = (perWeek: number | null): number | null =>
    perWeek === null || perWeek <= 0
      ? null
      : Math.round((7 * Math.max(limitMilliamps - milliamps, 0)) / perWeek);
  const days = daysAt(growth.milliampsPerWeek);
  if (days === null || days > FURTHEST_DAYS) return null;
  return {
    days,
    soonestDays: daysAt(growth.upperMilliampsPerWeek),
    latestDays: daysAt(growth.lowerMilliampsPerWeek),
  };
}

/** What the wettest film of most weeks was, %RH; null before a week is over. */
export function usualWettestPercent(weeks: readonly WeekSeen[]): number | null {
  if (weeks.length === 0) return null;
  const sorted = weeks.map(([, , , wettest]) => wettest).toSorted((one, other) => one - other);
  return sorted[Math.floor(0.75 * (sorted.length - 1))] ?? null;
}

function growthOf(
  values: readonly (readonly [week: number, milliamps: number])[],
): LeakageGrowth | null {
  if (values.length < LEAST_WEEKS) return null;
  const { slope, low, high } = sensSlope(
    values.map(([week]) => week),
    values.map(([, milliamps]) => milliamps),
    CONFIDENCE,
  );
  return {
    milliampsPerWeek: rounded(slope),
    lowerMilliampsPerWeek: low === null ? null : rounded(low),
    upperMilliampsPerWeek: high === null ? null : rounded(high),
    weeks: values.length,
  };
}

function rounded(value: number): number {
  return Math.round(value * 100) / 100 + 0;
}
