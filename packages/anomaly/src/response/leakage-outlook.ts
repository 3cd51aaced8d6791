import type { DetectorParameters } from '../detectors/parameters.ts';
import { dryBefore, type MatchedLeakage, matchedLeakage, wetBefore } from './before-repair.ts';
import { type HumidityBand, missingBands } from './humidity-coverage.ts';
import { type LeakageEstimate, leakageAt } from './humidity-curve.ts';
import { dryGrowth, type LeakageGrowth, wetGrowth } from './leakage-growth.ts';
import { type LeakageResponseSlice, responseCurve } from './leakage-response.ts';
import { type LeakageSide, responseSide } from './response-side.ts';
import { type TimeToLimit, timeToLimit } from './time-to-limit.ts';
import type { UnitCurve } from './unit-curve.ts';
import { milliampsPerKelvin } from './warmth.ts';
import { DRY_DAY_PERCENT, TESTING_PERCENT, WET_DAY_PERCENT } from './weekly-course.ts';

/** What the unit's leakage was before the last repair, and whether weather has tested it since. */
export interface RepairComparison {
  /** Event time of the repair, ms. */
  readonly repairedAtMs: number;
  readonly dryBeforeMilliamps: number | null;
  readonly wetBeforeMilliamps: number | null;
  /** Growth of wet days before, mA a week. */
  readonly wetGrowthBeforeMilliampsPerWeek: number | null;
  /** Before and after at the most humid film that both have seen. */
  readonly matched: MatchedLeakage | null;
  readonly testedByWeather: boolean;
}

/** What the unit's own response to humidity says of dry and of wet days, and of the time ahead. */
export interface LeakageOutlook {
  /** The film's humidities that were seen, %RH: what all this rests on. */
  readonly seenFromPercent: number;
  readonly seenToPercent: number;
  /** Bands of humidity that it has yet to see; none once the response is learned. */
  readonly missingBands: readonly HumidityBand[];
  /** `running`: rest was not seen, the sensor's error under load is in all figures. */
  readonly basis: 'rest' | 'running';
  /** At 50 %RH; null when nothing near it was seen. */
  readonly dryDay: LeakageEstimate | null;
  /** At 95 %RH. */
  readonly wetDay: LeakageEstimate | null;
  readonly dryGrowth: LeakageGrowth | null;
  readonly wetGrowth: LeakageGrowth | null;
  /** Until the wettest days of most weeks bring the limit of an emergency. */
  readonly timeToLimit: TimeToLimit | null;
  /** Where the leak is that humidity brings out; null while nothing rises with it. */
  readonly side: LeakageSide | null;
  /** What the load adds to the reading: the sensor's error mostly. Null without rest to compare. */
  readonly loadMilliampsPerAmp: number | null;
  /** How a dry unit's leakage at rest goes with temperature; null until seen over some days. */
  readonly milliampsPerKelvin: number | null;
  /** In wet films: the interval's maximum over its mean; null without `leakmax`. */
  readonly wetPeakRatio: number | null;
  /** Share of wet readings with bursts; null without `bursts`. */
  readonly wetBurstShare: number | null;
  readonly repair: RepairComparison | null;
}

/** A slice changes every five minutes, a condition is asked for with every reading. */
const known = new WeakMap<
  LeakageResponseSlice,
  { readonly parameters: DetectorParameters; readonly outlook: LeakageOutlook | null }
>();

/** The outlook of a unit; null while nothing was seen. */
export function leakageOutlook(
  slice: LeakageResponseSlice,
  parameters: DetectorParameters,
): LeakageOutlook | null {
  const before = known.get(slice);
  if (before?.parameters === parameters) return before.outlook;
  const outlook = deriveOutlook(slice, parameters);
  known.set(slice, { parameters, outlook });
  return outlook;
}

/**
 * Wet-day leakage that is expected above the emergency limit, and is above the routine one beyond
 * doubt: even its lower limit is. For the alarm on what the next storm will find. Null where it is
 * not, and on supplies that hold a ground fault's current down, where leakage never gets there.
 */
export function wetDayBeyondLimit(
  slice: LeakageResponseSlice,
  parameters: DetectorParameters,
): LeakageEstimate | null {
  if (parameters.groundingLimitsFaultCurrent) return null;
  const wetDay = leakageOutlook(slice, parameters)?.wetDay ?? null;
  if (wetDay === null) return null;
  const { leakageEmergencyMilliamps, leakageRoutineMilliamps } = parameters.limits;
  const isBeyond =
    wetDay.milliamps > leakageEmergencyMilliamps && wetDay.lowerMilliamps > leakageRoutineMilliamps;
  return isBeyond ? wetDay : null;
}

function deriveOutlook(
  slice: LeakageResponseSlice,
  parameters: DetectorParameters,
): LeakageOutlook | null {
  const curve = responseCurve(slice);
  const { points, basis, loadMilliampsPerAmp } = curve;
  const first = points[0];
  const last = points.at(-1);
  if (first === undefined || last === undefined) return null;
  const wetDay = dayAt(curve, WET_DAY_PERCENT);
  const growth = wetGrowth(slice.weeks);
  return {
    seenFromPercent: Math.round(first.humidityPercent),
    seenToPercent: Math.round(last.humidityPercent),
    missingBands: missingBands(curve),
    basis,
    dryDay: dayAt(curve, DRY_DAY_PERCENT),
    wetDay,
    dryGrowth: dryGrowth(slice.weeks),
    wetGrowth: growth,
    timeToLimit: timeOf(slice, curve, wetDay, growth, parameters),
    side: responseSide(slice),
    loadMilliampsPerAmp,
    milliampsPerKelvin: milliampsPerKelvin(slice.warmth),
    wetPeakRatio: slice.peaks?.[0] ?? null,
    wetBurstShare: slice.peaks?.[1] ?? null,
    repair: comparisonOf(slice, curve),
  };
}

/** Where rest was not seen, as much of it may be the sensor's error as a sensor errs. */
function dayAt({ points, errorMilliamps }: UnitCurve, percent: number): LeakageEstimate | null {
  const seen = leakageAt(points, percent);
  if (seen === null || errorMilliamps === 0) return seen;
  const lower = Math.max(seen.lowerMilliamps - errorMilliamps, 0);
  return { ...seen, lowerMilliamps: Math.round(100 * lower) / 100 };
}

function timeOf(
  { weeks }: LeakageResponseSlice,
  { points }: UnitCurve,
  wetDay: LeakageEstimate | null,
  growth: LeakageGrowth | null,
  { groundingLimitsFaultCurrent, limits }: DetectorParameters,
): TimeToLimit | null {
  // A resistor or the capacitance of the system keeps the leakage below any such limit.
  if (groundingLimitsFaultCurrent || wetDay === null) return null;
  const wettest = weeks.flatMap(([, , , percent]) => leakageAt(points, percent)?.milliamps ?? []);
  return timeToLimit(wettest, wetDay.milliamps, limits.leakageEmergencyMilliamps, growth);
}

function comparisonOf(
  { repaired }: LeakageResponseSlice,
  { points }: UnitCurve,
): RepairComparison | null {
  if (repaired === null) return null;
  return {
    repairedAtMs: repaired.atMs,
    dryBeforeMilliamps: dryBefore(repaired),
    wetBeforeMilliamps: wetBefore(repaired),
    wetGrowthBeforeMilliampsPerWeek: repaired.wetGrowth,
    matched: matchedLeakage(repaired, points),
    testedByWeather: repaired.wettestSincePercent >= TESTING_PERCENT,
  };
}
