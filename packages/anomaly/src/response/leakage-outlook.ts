import type { DetectorParameters } from '../detectors/parameters.ts';
import type { LeakageEstimate } from './humidity-curve.ts';
import {
  dryGrowth,
  type LeakageGrowth,
  type TimeToLimit,
  timeToLimit,
  usualWettestPercent,
  wetGrowth,
} from './leakage-growth.ts';
import {
  DRY_DAY_PERCENT,
  type LeakageResponseSlice,
  responseAt,
  responsePoints,
  TESTING_PERCENT,
  WET_DAY_PERCENT,
} from './leakage-response.ts';

/** What the unit's leakage was before the last repair, and whether weather has tested it since. */
export interface RepairComparison {
  /** Event time of the repair, ms. */
  readonly repairedAtMs: number;
  readonly dryBeforeMilliamps: number | null;
  readonly wetBeforeMilliamps: number | null;
  readonly testedByWeather: boolean;
}

/** What the unit's own response to humidity says of dry and of wet days, and of the time ahead. */
export interface LeakageOutlook {
  /** The film's humidities that were seen, %RH: what all this rests on. */
  readonly seenFromPercent: number;
  readonly seenToPercent: number;
  /** At 50 %RH; null when nothing near it was seen. */
  readonly dryDay: LeakageEstimate | null;
  /** At 95 %RH. */
  readonly wetDay: LeakageEstimate | null;
  readonly dryGrowth: LeakageGrowth | null;
  readonly wetGrowth: LeakageGrowth | null;
  /** Until the wettest days of most weeks bring the limit of an emergency. */
  readonly timeToLimit: TimeToLimit | null;
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

function deriveOutlook(
  slice: LeakageResponseSlice,
  { limits }: DetectorParameters,
): LeakageOutlook | null {
  const atMs = Math.max(slice.restAtMs ?? 0, slice.runningAtMs ?? 0);
  const points = responsePoints(slice, atMs);
  const first = points[0];
  const last = points.at(-1);
  if (first === undefined || last === undefined) return null;
  const growth = wetGrowth(slice.weeks);
  const wettest = Math.min(usualWettestPercent(slice.weeks) ?? WET_DAY_PERCENT, WET_DAY_PERCENT);
  const usual = responseAt(slice, wettest, atMs);
  const { repaired } = slice;
  return {
    seenFromPercent: first.humidityPercent,
    seenToPercent: last.humidityPercent,
    dryDay: responseAt(slice, DRY_DAY_PERCENT, atMs),
    wetDay: responseAt(slice, WET_DAY_PERCENT, atMs),
    dryGrowth: dryGrowth(slice.weeks),
    wetGrowth: growth,
    timeToLimit:
      usual === null
        ? null
        : timeToLimit(usual.milliamps, limits.leakageEmergencyMilliamps, growth),
    repair:
      repaired === null
        ? null
        : {
            repairedAtMs: repaired.atMs,
            dryBeforeMilliamps: repaired.dryMilliamps,
            wetBeforeMilliamps: repaired.wetMilliamps,
            testedByWeather: repaired.wettestSincePercent >= TESTING_PERCENT,
          },
  };
}
