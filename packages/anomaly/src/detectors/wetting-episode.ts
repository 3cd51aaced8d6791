import { type FieldGuards, isBoolean, isNumber, isNumberOrNull } from '../field-guards.ts';
import type { WettingEpisode, WettingSource } from '../vocabulary.ts';
import { evidenceNumber } from './figures.ts';
import { type OutdoorSlice, recentRainMillimetres } from './outdoor.ts';
import type { WettingMoment } from './wetting-course.ts';

/** A wetting that goes on. */
export interface OpenWetting {
  readonly startMs: number;
  readonly peakMs: number;
  readonly lowestMarginKelvin: number;
  readonly highestHumidityPercent: number;
  /** Greatest vapour pressure inside over that outside, Pa; null without an outdoor report. */
  readonly greatestExcessPascals: number | null;
  /** Whether a liquid film has come. */
  readonly filmed: boolean;
  readonly wetMs: number;
  readonly filmMs: number;
  /** Wet time with a vapour-pressure excess that only water inside explains. */
  readonly ingressMs: number;
  /** Rain of the day before it began, mm; null when no station tells of rain. */
  readonly rainMillimetres: number | null;
  readonly marginInferred: boolean;
  /** When the episode was last passed on. */
  readonly toldAtMs: number;
}

export const OPEN_WETTING_FIELDS: FieldGuards<OpenWetting> = {
  startMs: isNumber,
  peakMs: isNumber,
  lowestMarginKelvin: isNumber,
  highestHumidityPercent: isNumber,
  greatestExcessPascals: isNumberOrNull,
  filmed: isBoolean,
  wetMs: isNumber,
  filmMs: isNumber,
  ingressMs: isNumber,
  rainMillimetres: isNumberOrNull,
  marginInferred: isBoolean,
  toldAtMs: isNumber,
};

const MINUTE_MS = 60_000;
const HOUR_MS = 3_600_000;
/** An excess that lasts less may be dew that dries off. */
const INGRESS_LEAST_MS: number = HOUR_MS;

export function newWetting(
  startMs: number,
  { atMs, air, filmed, excessPascals }: WettingMoment,
  outdoor: OutdoorSlice,
): OpenWetting {
  return {
    startMs,
    peakMs: atMs,
    lowestMarginKelvin: air.marginKelvin,
    highestHumidityPercent: air.humidityPercent,
    greatestExcessPascals: excessPascals,
    filmed,
    wetMs: atMs - startMs,
    filmMs: filmed ? atMs - startMs : 0,
    ingressMs: 0,
    rainMillimetres: outdoor.precipitationReported ? recentRainMillimetres(outdoor, startMs) : null,
    marginInferred: air.marginInferred,
    toldAtMs: atMs,
  };
}

/** Where the water comes from, by what most of the wet time showed so far. */
export function wettingSource(wetting: OpenWetting): WettingSource {
  if (wetting.ingressMs >= INGRESS_LEAST_MS) return 'water-ingress';
  return wetting.filmed ? 'condensation' : 'humid-weather';
}

/** The episode to pass on; `endMs` null while it goes on. */
export function wettingEpisode(
  wetting: OpenWetting,
  endMs: number | null,
  outdoor: OutdoorSlice,
): WettingEpisode {
  const outdoorKnown = outdoor.vapourPascals !== null;
  return {
    startMs: wetting.startMs,
    peakMs: endMs === null ? wetting.peakMs : Math.min(wetting.peakMs, endMs),
    endMs,
    source: wettingSource(wetting),
    wetHours: evidenceNumber(wetting.wetMs / HOUR_MS),
    evidence: {
      lowestDewPointMarginKelvin: evidenceNumber(wetting.lowestMarginKelvin),
      marginInferredFromAir: wetting.marginInferred,
      highestRelativeHumidityPercent: evidenceNumber(wetting.highestHumidityPercent),
      condensingMinutes: evidenceNumber(wetting.filmMs / MINUTE_MS),
      ingressMinutes: evidenceNumber(wetting.ingressMs / MINUTE_MS),
      rainOfLastDayAtLeastMillimetres: evidenceNumber(wetting.rainMillimetres),
      outdoorReference: outdoorKnown,
      sourceCertainty: outdoorKnown
        ? 'with an outdoor reference'
        : 'low: without an outdoor reference water cannot be told from damp air',
    },
  };
}
