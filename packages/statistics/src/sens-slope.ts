import { elementAt } from './element-at.ts';
import { MOST_TREND_VALUES, mannKendall } from './mann-kendall.ts';
import { normalQuantile } from './normal.ts';
import { requireInside, requireSeries } from './ranges.ts';
import { medianInPlace, orderedAt } from './selection.ts';

/** The typical slope of a series, in units of value per unit of time. */
export interface SensSlope {
  readonly slope: number;
  /** Limits of the slope at the confidence asked for; null where there are too few values. */
  readonly low: number | null;
  readonly high: number | null;
  /** The median of value - slope * time: the line's value at time 0. */
  readonly intercept: number;
}

/**
 * The median of the slopes between all pairs of values, with confidence limits. A quarter of the
 * values may be wild without moving it far.
 *
 * Output: see `SensSlope`; gaps keep their length because the times count, not the places. Limits
 * are interpolated between ordered slopes.
 * Source: Theil (1950); Sen (1968), J. Amer. Statist. Assoc. 63, 1379-1389; limits by Gilbert
 * (1987) section 16.5, with the tie-corrected variance of the trend test.
 * Errors: RangeError unless times and values hold the same number, 3 to 5000, of numbers within 1e100,
 * the times rise strictly, and 0 < confidence < 1.
 */
export function sensSlope(
  times: readonly number[],
  values: readonly number[],
  confidence = 0.95,
): SensSlope {
  requireSeries('times', times, 3, MOST_TREND_VALUES);
  requireInside('confidence', confidence, 0, 1);
  if (values.length !== times.length) {
    throw new RangeError(`values must be as many as times, ${times.length}, got ${values.length}`);
  }
  const { variance } = mannKendall(values);
  const slopes = pairSlopes(times, values);
  const slope = medianInPlace(slopes);
  const spread = -normalQuantile((1 - confidence) / 2) * Math.sqrt(variance);
  const residuals = values.map((value, index) => value - slope * elementAt(times, index));
  return {
    slope,
    ...slopeLimits(slopes, spread),
    intercept: medianInPlace(Float64Array.from(residuals)),
  };
}

/** Gilbert counts ranks from 1: the M1-th and the (M2 + 1)-th smallest slope. */
function slopeLimits(slopes: Float64Array, spread: number): Pick<SensSlope, 'low' | 'high'> {
  const place = (slopes.length - spread) / 2 - 1;
  if (place < 0) return { low: null, high: null };
  const top = slopes.length - 1 - place;
  return { low: orderedAt(slopes, place), high: orderedAt(slopes, top) };
}

function pairSlopes(times: readonly number[], values: readonly number[]): Float64Array {
  const count = times.length;
  const slopes = new Float64Array((count * (count - 1)) / 2);
  let pair = 0;
  for (let later = 1; later < count; later += 1) {
    const time = elementAt(times, later);
    if (time <= elementAt(times, later - 1)) {
      throw new RangeError(`times must rise strictly, got ${time} at [${later}] after no less`);
    }
    const value = elementAt(values, later);
    for (let earlier = 0; earlier < later; earlier += 1) {
      slopes[pair] = (value - (values[earlier] as number)) / (time - (times[earlier] as number));
      pair += 1;
    }
  }
  return slopes;
}
