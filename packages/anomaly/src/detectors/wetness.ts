import { isTimeOfWetness } from '@lineside/physics';
import {
  type FieldGuards,
  hasShape,
  isBoolean,
  isListOf,
  isNullOr,
  isNumber,
  isNumberOrNull,
} from '../field-guards.ts';
import type { WettingEpisode } from '../vocabulary.ts';
import { type OutdoorSlice, type VapourExcess, vapourExcess, waterIsAbout } from './outdoor.ts';
import type { CompartmentAir, Sample } from './sample.ts';
import { smoothed } from './smoothing.ts';
import { OPEN_WETTING_FIELDS, type OpenWetting, wettingEpisode } from './wetting-episode.ts';

/**
 * Wettings of the compartment, as episodes. Never an alarm.
 *
 * Uses: `rh t tp`, the outdoor report. Wet means ISO 9223's criterion (RH above 80 %, above 0 C)
 * or a back-plate at or below the dew point, not frozen. An episode opens after ten minutes and
 * two wet readings, dated back to the first; it ends an hour after the last wet reading, dated
 * back to it, so that short dry gaps stay within one wetting.
 */
export interface WetnessSlice {
  readonly atMs: number | null;
  readonly humidityPercent: number | null;
  readonly celsius: number | null;
  readonly marginKelvin: number | null;
  readonly marginInferred: boolean;
  readonly excessPascals: number | null;
  /** Excess of vapour pressure over the outdoor air that is usual without water about, Pa. */
  readonly usualExcessPascals: number | null;
  /**
   * Dew and frost that the compartment has taken from the air outside and not given back, as
   * vapour-pressure deficit times hours, Pa h. What it gives back is no water that got in.
   */
  readonly dewPascalHours: number;
  /** The newest reading: wet, by ISO 9223, with water coming in. */
  readonly wet: boolean;
  readonly wetByIso: boolean;
  readonly excessIsReal: boolean;
  readonly waterIsAbout: boolean;
  readonly firstWetMs: number | null;
  readonly wetReadings: number;
  readonly lastWetMs: number | null;
  readonly open: OpenWetting | null;
  /** ISO 9223 wetness by UTC day: the newest day apart, the earlier ones of the last 30. */
  readonly day: number | null;
  readonly dayWetMs: number;
  readonly earlierDays: readonly WetDay[];
}

interface WetDay {
  readonly day: number;
  readonly wetMs: number;
}

const MINUTE_MS = 60_000;
const HOUR_MS = 3_600_000;
const DAY_MS = 86_400_000;
const WETTING_OPENS_AFTER_MS: number = 10 * MINUTE_MS;
const WET_READINGS_TO_OPEN = 2;
const WETTING_MERGES_GAPS_MS: number = HOUR_MS;
/** Nothing heard for this long: a wetting is not carried across. */
const LONGEST_UNSEEN_MS: number = 6 * HOUR_MS;
/** Time between two wet readings counts at most this much. */
const MOST_GAP_MS: number = 30 * MINUTE_MS;
/** Days of wetness kept besides the newest. */
const WET_DAYS_KEPT = 29;
const USUAL_EXCESS_TIME_CONSTANT_MS: number = DAY_MS;

const DRIED_MARGIN_KELVIN = 6;
/** A night and a day of dew; more would run off and stay as water. */
const MOST_DEW_PASCAL_HOURS = 3000;

export const WETNESS_START: WetnessSlice = {
  atMs: null,
  humidityPercent: null,
  celsius: null,
  marginKelvin: null,
  marginInferred: false,
  excessPascals: null,
  usualExcessPascals: null,
  dewPascalHours: 0,
  wet: false,
  wetByIso: false,
  excessIsReal: false,
  waterIsAbout: false,
  firstWetMs: null,
  wetReadings: 0,
  lastWetMs: null,
  open: null,
  day: null,
  dayWetMs: 0,
  earlierDays: [],
};

export const WETNESS_FIELDS: FieldGuards<WetnessSlice> = {
  atMs: isNumberOrNull,
  humidityPercent: isNumberOrNull,
  celsius: isNumberOrNull,
  marginKelvin: isNumberOrNull,
  marginInferred: isBoolean,
  excessPascals: isNumberOrNull,
  usualExcessPascals: isNumberOrNull,
  dewPascalHours: isNumber,
  wet: isBoolean,
  wetByIso: isBoolean,
  excessIsReal: isBoolean,
  waterIsAbout: isBoolean,
  firstWetMs: isNumberOrNull,
  wetReadings: isNumber,
  lastWetMs: isNumberOrNull,
  open: isNullOr(hasShape(OPEN_WETTING_FIELDS)),
  day: isNumberOrNull,
  dayWetMs: isNumber,
  earlierDays: isListOf(hasShape<WetDay>({ day: isNumber, wetMs: isNumber }), WET_DAYS_KEPT),
};

export interface WetnessStep {
  readonly slice: WetnessSlice;
  readonly episodes: readonly WettingEpisode[];
}

const NO_EPISODES: readonly WettingEpisode[] = [];

/** True from the first wet reading of a possible wetting until it has ended. */
export function compartmentIsWet(slice: WetnessSlice): boolean {
  return slice.wet || slice.open !== null;
}

/** To be called for instants that bring the compartment's air. */
export function stepWetness(
  slice: WetnessSlice,
  sample: Sample,
  air: CompartmentAir,
  outdoor: OutdoorSlice,
): WetnessStep {
  const { atMs } = sample;
  const unseen = slice.atMs !== null && atMs - slice.atMs > LONGEST_UNSEEN_MS;
  const carried = unseen ? endWetting(slice, outdoor) : null;
  const before = carried === null ? slice : carried.slice;
  const elapsedMs = before.atMs === null ? 0 : Math.min(atMs - before.atMs, MOST_GAP_MS);
  const excess = vapourExcess(air, outdoor, before.usualExcessPascals ?? 0, atMs);
  const dewPascalHours = dewBalance(before, excess, air.marginKelvin, elapsedMs);
  const water = waterIsAbout(outdoor, atMs, air.celsius);
  const wetByIso = isTimeOfWetness(air.humidityPercent, air.celsius);
  const plateWet = !air.marginInferred && air.marginKelvin <= 0 && air.surfaceCelsius > 0;
  const wet = wetByIso || plateWet;
  const continuesWet = wet && before.wet;
  const days = countDay(before, atMs, wetByIso && before.wetByIso ? elapsedMs : 0);
  const next: WetnessSlice = {
    atMs,
    humidityPercent: air.humidityPercent,
    celsius: air.celsius,
    marginKelvin: air.marginKelvin,
    marginInferred: air.marginInferred,
    excessPascals: excess === null ? null : excess.pascals,
    usualExcessPascals: usualExcess(before, excess, water || wet, elapsedMs),
    wet,
    wetByIso,
    dewPascalHours,
    excessIsReal: excess !== null && excess.beyondErrorPascals > 0 && dewPascalHours === 0,
    waterIsAbout: water,
    firstWetMs: before.open !== null || !wet ? null : (before.firstWetMs ?? atMs),
    wetReadings: wet ? Math.min(before.wetReadings + 1, WET_READINGS_TO_OPEN) : 0,
    lastWetMs: wet ? atMs : before.lastWetMs,
    open: before.open,
    day: days.day,
    dayWetMs: days.dayWetMs,
    earlierDays: days.earlierDays,
  };
  const step = stepWetting(next, air, outdoor, continuesWet ? elapsedMs : 0);
  return carried === null || carried.episodes.length === 0
    ? step
    : { slice: step.slice, episodes: [...carried.episodes, ...step.episodes] };
}

/**
 * Air that is drier inside than outside loses vapour to dew or frost on cold surfaces; the same
 * exchange of air carries it out again, so deficit and excess times hours weigh each other up.
 */
function dewBalance(
  slice: WetnessSlice,
  excess: VapourExcess | null,
  marginKelvin: number,
  elapsedMs: number,
): number {
  // A surface far above the dew point holds no film.
  if (marginKelvin > DRIED_MARGIN_KELVIN) return 0;
  if (excess === null) return slice.dewPascalHours;
  const balancePascals = excess.pascals - Math.max(slice.usualExcessPascals ?? 0, 0);
  if (Math.abs(balancePascals) <= excess.errorPascals) return slice.dewPascalHours;
  const dew = slice.dewPascalHours - (balancePascals * elapsedMs) / HOUR_MS;
  return Math.min(Math.max(dew, 0), MOST_DEW_PASCAL_HOURS);
}

function usualExcess(
  slice: WetnessSlice,
  excess: VapourExcess | null,
  wetting: boolean,
  elapsedMs: number,
): number | null {
  if (excess === null || wetting) return slice.usualExcessPascals;
  return smoothed(
    slice.usualExcessPascals,
    excess.pascals,
    elapsedMs,
    USUAL_EXCESS_TIME_CONSTANT_MS,
  );
}

function stepWetting(
  slice: WetnessSlice,
  air: CompartmentAir,
  outdoor: OutdoorSlice,
  wetElapsedMs: number,
): WetnessStep {
  const { atMs, open, firstWetMs, lastWetMs } = slice;
  if (atMs === null) return { slice, episodes: NO_EPISODES };
  if (open === null) {
    const opens =
      firstWetMs !== null &&
      slice.wetReadings >= WET_READINGS_TO_OPEN &&
      atMs - firstWetMs >= WETTING_OPENS_AFTER_MS;
    if (!opens) return { slice, episodes: NO_EPISODES };
    const started = newWetting(firstWetMs, atMs, air);
    const next: WetnessSlice = { ...slice, open: started, firstWetMs: null };
    return { slice: next, episodes: [wettingEpisode(started, null, outdoor, atMs)] };
  }
  if (lastWetMs !== null && !slice.wet && atMs - lastWetMs > WETTING_MERGES_GAPS_MS) {
    return endWetting(slice, outdoor);
  }
  const grown = grow(open, slice, air, outdoor, wetElapsedMs);
  const due = atMs - grown.toldAtMs >= HOUR_MS;
  const told = due ? { ...grown, toldAtMs: atMs } : grown;
  return {
    slice: { ...slice, open: told },
    episodes: due ? [wettingEpisode(told, null, outdoor, atMs)] : NO_EPISODES,
  };
}

function newWetting(startMs: number, atMs: number, air: CompartmentAir): OpenWetting {
  return {
    startMs,
    peakMs: atMs,
    lowestMarginKelvin: air.marginKelvin,
    highestHumidityPercent: air.humidityPercent,
    wetMs: atMs - startMs,
    ingressMs: 0,
    condensingMs: 0,
    marginInferred: air.marginInferred,
    toldAtMs: atMs,
  };
}

/** Air this close to saturation condenses on something, the sensors' error considered. */
const SATURATED_MARGIN_KELVIN = 0.7;
/** Outdoor air from here on is wet weather by itself. */
const HUMID_WEATHER_PERCENT = 92;

function grow(
  open: OpenWetting,
  slice: WetnessSlice,
  air: CompartmentAir,
  outdoor: OutdoorSlice,
  wetElapsedMs: number,
): OpenWetting {
  const deeper = slice.wet && air.marginKelvin < open.lowestMarginKelvin;
  const ingress = slice.excessIsReal && slice.waterIsAbout;
  const humidOutside = (outdoor.humidityPercent ?? 0) >= HUMID_WEATHER_PERCENT;
  const condensing = air.marginInferred
    ? air.marginKelvin <= SATURATED_MARGIN_KELVIN && !humidOutside
    : air.marginKelvin <= 0;
  return {
    startMs: open.startMs,
    peakMs: deeper && slice.atMs !== null ? slice.atMs : open.peakMs,
    lowestMarginKelvin: deeper ? air.marginKelvin : open.lowestMarginKelvin,
    highestHumidityPercent: Math.max(open.highestHumidityPercent, air.humidityPercent),
    wetMs: open.wetMs + wetElapsedMs,
    ingressMs: open.ingressMs + (ingress ? wetElapsedMs : 0),
    condensingMs: open.condensingMs + (condensing ? wetElapsedMs : 0),
    marginInferred: air.marginInferred,
    toldAtMs: open.toldAtMs,
  };
}

function endWetting(slice: WetnessSlice, outdoor: OutdoorSlice): WetnessStep {
  const { open, lastWetMs } = slice;
  const dry: WetnessSlice = {
    ...slice,
    wet: false,
    wetByIso: false,
    firstWetMs: null,
    wetReadings: 0,
    open: null,
  };
  if (open === null) return { slice: dry, episodes: NO_EPISODES };
  const endMs = lastWetMs ?? open.startMs;
  return { slice: dry, episodes: [wettingEpisode(open, endMs, outdoor, endMs)] };
}

type Days = Pick<WetnessSlice, 'day' | 'dayWetMs' | 'earlierDays'>;

function countDay(slice: WetnessSlice, atMs: number, wetMs: number): Days {
  const day = Math.floor(atMs / DAY_MS);
  if (slice.day === day) {
    return { day, dayWetMs: slice.dayWetMs + wetMs, earlierDays: slice.earlierDays };
  }
  const kept = slice.earlierDays.filter((each) => day - each.day <= WET_DAYS_KEPT);
  const finished = slice.day !== null && slice.dayWetMs > 0 && day - slice.day <= WET_DAYS_KEPT;
  if (finished && slice.day !== null) kept.push({ day: slice.day, wetMs: slice.dayWetMs });
  return { day, dayWetMs: wetMs, earlierDays: kept };
}

/** ISO 9223 hours of wetness of the newest day and the 29 before it. */
export function wetHoursOf30Days(slice: WetnessSlice): number {
  let wetMs = slice.dayWetMs;
  for (const each of slice.earlierDays) wetMs += each.wetMs;
  return wetMs / HOUR_MS;
}
