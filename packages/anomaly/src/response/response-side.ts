import { leakageAt } from './humidity-curve.ts';
import type { LeakageResponseSlice } from './leakage-response.ts';
import { pointsOfBins } from './response-bins.ts';
import { loadAdditions } from './unit-curve.ts';

export type LeakageSide = 'line' | 'load' | 'undetermined';

/** A rise with humidity below this is that of clean surfaces and noise, mA. */
const RISE_MILLIAMPS = 1.5;
/** At rest at least this share of the running rise is the same leak; at most that, another. */
const SAME_LEAK_SHARE = 0.35;
const OTHER_LEAK_SHARE = 0.2;
/** A running stage's rise has to stand out of its own scatter by this many mean deviations. */
const LEAST_SPREADS = 3;
const HOUR_MS = 3_600_000;
/** A track has grown since a rest that is older: it says nothing of what runs now. */
const SAME_WETTING_HOURS = 48;

/**
 * Where the leak is that humidity brings out, from rest and running at the same humidity: the line
 * side is live always, the load only behind a contactor that is pulled in (common practice, no
 * source). Null while nothing rises with humidity.
 */
export function responseSide(slice: LeakageResponseSlice): LeakageSide | null {
  const hour = Math.floor((slice.atMs ?? 0) / HOUR_MS);
  const rest = pointsOfBins(slice.rest, slice.scatter, hour);
  const lately = slice.rest.filter((bin) => bin !== null && hour - bin[4] <= SAME_WETTING_HOURS);
  const restLately = pointsOfBins(lately, slice.scatter, hour);
  const dry = rest[0];
  const restRise =
    dry === undefined ? 0 : Math.max((rest.at(-1)?.milliamps ?? 0) - dry.milliamps, 0);
  let runningRise = 0;
  let restAtSame: number | null = null;
  for (const { bands, spread } of loadAdditions(rest, slice.stages)) {
    const [driest] = bands;
    const wettest = bands.at(-1);
    if (driest === undefined || wettest === undefined) continue;
    const rise = wettest.milliamps - driest.milliamps;
    if (rise <= runningRise || rise < LEAST_SPREADS * spread) continue;
    runningRise = rise;
    const seen = leakageAt(restLately, wettest.humidityPercent);
    restAtSame =
      dry === undefined || seen === null || seen.extrapolated
        ? null
        : seen.milliamps - dry.milliamps;
  }
  if (restRise < RISE_MILLIAMPS && runningRise < RISE_MILLIAMPS) return null;
  if (restRise >= RISE_MILLIAMPS && restRise >= SAME_LEAK_SHARE * runningRise) return 'line';
  if (restAtSame !== null && restAtSame <= OTHER_LEAK_SHARE * runningRise) return 'load';
  return 'undetermined';
}
