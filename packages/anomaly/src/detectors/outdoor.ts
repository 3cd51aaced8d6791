import { saturationOverWaterPascals } from '@lineside/physics';
import type { Reading } from '@lineside/readings';
import {
  type FieldGuards,
  hasShape,
  isBoolean,
  isListOf,
  isNumber,
  isNumberOrNull,
} from '../field-guards.ts';
import { WEATHER_STALE_MS } from '../weather-track.ts';
import type { CompartmentAir } from './sample.ts';
import type { UsualExcess } from './usual-excess.ts';

/**
 * The weather outside as the unit's readings have shown it, and what it says of the air inside.
 *
 * Uses: `rh t rain snow` of the outdoor reports. Each report counts once, by its time. A report
 * that no reading was judged by is not counted, so sums of rain are 'at least'.
 */
export interface OutdoorSlice {
  readonly reportAtMs: number | null;
  readonly celsius: number | null;
  readonly humidityPercent: number | null;
  readonly saturationPascals: number | null;
  readonly vapourPascals: number | null;
  /** How fast the outdoor vapour pressure rose lately, Pa/h, 0 when it fell. */
  readonly risePascalsPerHour: number;
  /** Highest vapour pressure of each half hour of the last three hours. */
  readonly peaks: readonly VapourPeak[];
  readonly precipitationReported: boolean;
  /** Rain of each hour of the last day, mm; hours without rain are absent. */
  readonly rainHours: readonly RainHour[];
  readonly rainAtMs: number | null;
  /** Water that lies frozen, mm, and when some of it last melted. */
  readonly snowMillimetres: number;
  readonly snowAtMs: number | null;
  readonly meltAtMs: number | null;
}

interface VapourPeak {
  readonly startMs: number;
  readonly pascals: number;
}
interface RainHour {
  readonly startMs: number;
  readonly millimetres: number;
}

const HOUR_MS = 3_600_000;
const HALF_HOUR_MS = 1_800_000;
/** The air inside follows the air outside with a lag of an hour or two (common practice). */
const LAG_MS: number = 3 * HOUR_MS;
const WATER_MEMORY_MS: number = 24 * HOUR_MS;
/** Snow blown in lies until the compartment warms. */
const SNOW_MEMORY_MS: number = 72 * HOUR_MS;
const MOST_PEAKS = 8;
const MOST_RAIN_HOURS = 25;
/** Less than this wets no cabinet; most gauges resolve 0.2 mm. */
const LEAST_RAIN_MILLIMETRES = 0.2;
/** Melt of lying snow for each degree above 0 C, mm/(K h): about 5 mm a degree and day. */
const MELT_RATE = 0.2;
const MOST_SNOW_MILLIMETRES = 500;
/** Error of a humidity sensor, as a share of saturation: 3 %RH, 95 Pa at 25 C. */
const HUMIDITY_ERROR_SHARE = 0.03;
/** A mean excess of twice a sensor's error is beyond doubt, share of saturation. */
const DOUBT_SHARE = 0.06;
/** So many mean distances from the usual are beyond it. */
const SPREADS = 3;

export const OUTDOOR_START: OutdoorSlice = {
  reportAtMs: null,
  celsius: null,
  humidityPercent: null,
  saturationPascals: null,
  vapourPascals: null,
  risePascalsPerHour: 0,
  peaks: [],
  precipitationReported: false,
  rainHours: [],
  rainAtMs: null,
  snowMillimetres: 0,
  snowAtMs: null,
  meltAtMs: null,
};

export const OUTDOOR_FIELDS: FieldGuards<OutdoorSlice> = {
  reportAtMs: isNumberOrNull,
  celsius: isNumberOrNull,
  humidityPercent: isNumberOrNull,
  saturationPascals: isNumberOrNull,
  vapourPascals: isNumberOrNull,
  risePascalsPerHour: isNumber,
  peaks: isListOf(hasShape<VapourPeak>({ startMs: isNumber, pascals: isNumber }), MOST_PEAKS),
  precipitationReported: isBoolean,
  rainHours: isListOf(
    hasShape<RainHour>({ startMs: isNumber, millimetres: isNumber }),
    MOST_RAIN_HOURS,
  ),
  rainAtMs: isNumberOrNull,
  snowMillimetres: isNumber,
  snowAtMs: isNumberOrNull,
  meltAtMs: isNumberOrNull,
};

/** Takes the report that a reading is judged by; one that was counted already changes nothing. */
export function stepOutdoor(slice: OutdoorSlice, report: Reading | null): OutdoorSlice {
  if (report === null || (slice.reportAtMs !== null && report.atMs <= slice.reportAtMs)) {
    return slice;
  }
  const { rh, t, rain, snow } = report.channels;
  const { atMs } = report;
  const elapsedMs = slice.reportAtMs === null ? 0 : atMs - slice.reportAtMs;
  const next = { ...slice, ...outdoorAir(slice, atMs, elapsedMs, rh, t), reportAtMs: atMs };
  if (rain === undefined && snow === undefined && slice.snowMillimetres === 0) return next;
  const frozen = t !== undefined && t <= 0;
  const rainMillimetres = frozen ? 0 : (rain ?? 0);
  const fallen = (snow ?? 0) + (frozen ? (rain ?? 0) : 0);
  const lying = Math.min(slice.snowMillimetres + fallen, MOST_SNOW_MILLIMETRES);
  const hours = Math.min(elapsedMs, WEATHER_STALE_MS) / HOUR_MS;
  const melted = t === undefined || frozen ? 0 : Math.min(lying, MELT_RATE * t * hours);
  return {
    ...next,
    precipitationReported: slice.precipitationReported || rain !== undefined || snow !== undefined,
    rainHours: withRain(slice.rainHours, atMs, rainMillimetres),
    rainAtMs: rainMillimetres > 0 ? atMs : slice.rainAtMs,
    snowMillimetres: lying - melted,
    snowAtMs: fallen > 0 ? atMs : slice.snowAtMs,
    meltAtMs: melted > 0 ? atMs : slice.meltAtMs,
  };
}

type OutdoorAir = Pick<
  OutdoorSlice,
  | 'celsius'
  | 'humidityPercent'
  | 'saturationPascals'
  | 'vapourPascals'
  | 'risePascalsPerHour'
  | 'peaks'
>;

function outdoorAir(
  slice: OutdoorSlice,
  atMs: number,
  elapsedMs: number,
  humidityPercent: number | undefined,
  celsius: number | undefined,
): OutdoorAir {
  const usable =
    humidityPercent !== undefined && celsius !== undefined && celsius >= -100 && celsius < 100;
  if (!usable) {
    return {
      celsius: celsius ?? null,
      humidityPercent: humidityPercent ?? null,
      saturationPascals: null,
      vapourPascals: null,
      risePascalsPerHour: 0,
      peaks: slice.peaks,
    };
  }
  const saturationPascals = saturationOverWaterPascals(celsius);
  const vapourPascals = (saturationPascals * humidityPercent) / 100;
  const before = slice.vapourPascals;
  const comparable = before !== null && elapsedMs > 0 && elapsedMs <= WEATHER_STALE_MS;
  const rise = comparable ? ((vapourPascals - before) / elapsedMs) * HOUR_MS : 0;
  return {
    celsius,
    humidityPercent,
    saturationPascals,
    vapourPascals,
    // Reports jitter: the newest slope and the one before share the word.
    risePascalsPerHour: Math.max(0, 0.5 * rise + 0.5 * slice.risePascalsPerHour),
    peaks: withPeak(slice.peaks, atMs, vapourPascals),
  };
}

function withPeak(
  peaks: readonly VapourPeak[],
  atMs: number,
  pascals: number,
): readonly VapourPeak[] {
  const startMs = Math.floor(atMs / HALF_HOUR_MS) * HALF_HOUR_MS;
  const newest = peaks.at(-1);
  const kept = peaks.filter(
    (peak) => peak.startMs !== startMs && peak.startMs > atMs - LAG_MS - HALF_HOUR_MS,
  );
  const highest =
    newest !== undefined && newest.startMs === startMs
      ? Math.max(newest.pascals, pascals)
      : pascals;
  return [...kept, { startMs, pascals: highest }].slice(-MOST_PEAKS);
}

function withRain(
  hours: readonly RainHour[],
  atMs: number,
  millimetres: number,
): readonly RainHour[] {
  const oldest = hours[0];
  const fresh = oldest === undefined || atMs - oldest.startMs <= WATER_MEMORY_MS;
  if (millimetres <= 0 && fresh) return hours;
  const kept = hours.filter((hour) => atMs - hour.startMs <= WATER_MEMORY_MS);
  if (millimetres <= 0) return kept;
  const startMs = Math.floor(atMs / HOUR_MS) * HOUR_MS;
  const newest = kept.at(-1);
  if (newest !== undefined && newest.startMs === startMs) {
    kept[kept.length - 1] = { startMs, millimetres: newest.millimetres + millimetres };
  } else {
    kept.push({ startMs, millimetres });
  }
  return kept.slice(-MOST_RAIN_HOURS);
}

/** Rain of the day before `atMs` that the watch has been shown, mm. */
export function recentRainMillimetres(slice: OutdoorSlice, atMs: number): number {
  let sum = 0;
  for (const hour of slice.rainHours) {
    if (atMs - hour.startMs <= WATER_MEMORY_MS) sum += hour.millimetres;
  }
  return sum;
}

/**
 * True when rain or melt within the last day could have brought water in, or snow of the last
 * three days could melt in a compartment that is above 0 C.
 */
export function waterIsAbout(
  slice: OutdoorSlice,
  atMs: number,
  compartmentCelsius: number,
): boolean {
  if (slice.meltAtMs !== null && atMs - slice.meltAtMs <= WATER_MEMORY_MS) return true;
  const snowy = slice.snowAtMs !== null && atMs - slice.snowAtMs <= SNOW_MEMORY_MS;
  if (snowy && compartmentCelsius > 0) return true;
  if (slice.rainAtMs === null || atMs - slice.rainAtMs > WATER_MEMORY_MS) return false;
  return recentRainMillimetres(slice, atMs) >= LEAST_RAIN_MILLIMETRES;
}

/** Vapour pressure inside against outside. */
export interface VapourExcess {
  /** Inside minus the outdoor report, Pa. */
  readonly pascals: number;
  /**
   * What is left, Pa, after the highest outdoor value of the lag time, a rise since the report,
   * what is usual for this cabinet, and the error of both sensors or, where it is more, what comes
   * and goes in this cabinet anyway. Above 0 it is real.
   */
  readonly beyondErrorPascals: number;
  /** Inside minus the report and what is usual, against what is beyond doubt: 1 at its edge. */
  readonly ratio: number;
  /** Error of the difference, Pa: both sensors at 3 %RH. */
  readonly errorPascals: number;
}

/**
 * `usualExcess`: what this cabinet has over the outdoor air without any water about, such
 * as building air that comes up a conduit in winter.
 * Null without an outdoor report of the last three hours that has humidity and temperature.
 */
export function vapourExcess(
  air: CompartmentAir,
  slice: OutdoorSlice,
  usualExcess: UsualExcess | null,
  atMs: number,
): VapourExcess | null {
  const { reportAtMs, vapourPascals, saturationPascals } = slice;
  if (reportAtMs === null || vapourPascals === null || saturationPascals === null) return null;
  if (atMs - reportAtMs > WEATHER_STALE_MS) return null;
  let highest = vapourPascals;
  for (const peak of slice.peaks) {
    if (atMs - peak.startMs <= LAG_MS + HALF_HOUR_MS) highest = Math.max(highest, peak.pascals);
  }
  const riseSince = (slice.risePascalsPerHour * (atMs - reportAtMs)) / HOUR_MS;
  const inside = HUMIDITY_ERROR_SHARE * air.saturationPascals;
  const outside = HUMIDITY_ERROR_SHARE * saturationPascals;
  const errorPascals = Math.sqrt(inside * inside + outside * outside);
  const usual = usualExcess?.pascals ?? 0;
  const doubt = Math.max(errorPascals, SPREADS * (usualExcess?.spreadPascals ?? 0));
  return {
    pascals: air.vapourPascals - vapourPascals,
    beyondErrorPascals: air.vapourPascals - highest - riseSince - usual - doubt,
    ratio:
      (air.vapourPascals - vapourPascals - usual) /
      Math.max(DOUBT_SHARE * air.saturationPascals, usualExcess?.spreadPascals ?? 0),
    errorPascals,
  };
}
