import { sensSlope } from '@lineside/statistics';
import { TESTING_PERCENT, type WeekSeen } from './weekly-course.ts';

/** Growth per week with its limits at 90 % confidence; limits are null for too few weeks. */
export interface LeakageGrowth {
  readonly milliampsPerWeek: number;
  readonly lowerMilliampsPerWeek: number | null;
  readonly upperMilliampsPerWeek: number | null;
  /** How many weeks it rests on. */
  readonly weeks: number;
}

const LEAST_WEEKS = 3;
const CONFIDENCE = 0.9;

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
