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
  /** Excess ratio (1: beyond doubt) times hours; dew that comes and goes takes it back. */
  readonly excessHours: number;
  /** Wet time with an outdoor report, and that part of it with water about. */
  readonly knownMs: number;
  readonly waterMs: number;
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
  excessHours: isNumber,
  knownMs: isNumber,
  waterMs: isNumber,
  rainMillimetres: isNumberOrNull,
  marginInferred: isBoolean,
  toldAtMs: isNumber,
};

const MINUTE_MS = 60_000;
const HOUR_MS = 3_600_000;
/** An excess of less time may be dew that dries off. */
const INGRESS_LEAST_MS: number = HOUR_MS;
const WATER_LEAST_SHARE = 0.5;
const NEAR_INGRESS_RATIO = 0.6;

export function newWetting(
  startMs: number,
  { atMs, air, wet, filmed, excessPascals }: WettingMoment,
  outdoor: OutdoorSlice,
): OpenWetting {
  return {
    startMs,
    peakMs: atMs,
    lowestMarginKelvin: air.marginKelvin,
    highestHumidityPercent: air.humidityPercent,
    greatestExcessPascals: excessPascals,
    filmed,
    wetMs: wet ? atMs - startMs : 0,
    filmMs: wet && filmed ? atMs - startMs : 0,
    excessHours: 0,
    knownMs: 0,
    waterMs: 0,
    rainMillimetres: outdoor.precipitationReported ? recentRainMillimetres(outdoor, startMs) : null,
    marginInferred: air.marginInferred,
    toldAtMs: atMs,
  };
}

/** Mean excess against what is beyond doubt; null without an outdoor report. */
function meanExcessRatio({ excessHours, knownMs }: OpenWetting): number | null {
  return knownMs > 0 ? (excessHours * HOUR_MS) / knownMs : null;
}

function showsIngress(wetting: OpenWetting): boolean {
  const { knownMs, waterMs } = wetting;
  const ratio = meanExcessRatio(wetting);
  const longEnough = knownMs >= INGRESS_LEAST_MS && waterMs >= WATER_LEAST_SHARE * knownMs;
  return longEnough && ratio !== null && ratio >= 1;
}

/** Where the water comes from, by what most of the wet time showed so far. */
export function wettingSource(wetting: OpenWetting): WettingSource {
  if (showsIngress(wetting)) return 'water-ingress';
  return wetting.filmed ? 'condensation' : 'humid-weather';
}

/**
 * How sure that source is, 0 to 1. Judgement, checked against simulated wettings: with an outdoor
 * report and a plate sensor nine of ten are right; without a report water that got in cannot be
 * told from damp air or dew, without a plate sensor a film is inferred.
 */
export function wettingSourceProbability(wetting: OpenWetting): number {
  const ratio = meanExcessRatio(wetting);
  if (ratio === null) return wetting.marginInferred ? 0.7 : 0.8;
  if (showsIngress(wetting)) return Math.min(0.9, 0.6 + 0.3 * (ratio - 1));
  const nearIngress = wetting.waterMs > 0 && ratio >= NEAR_INGRESS_RATIO;
  if (nearIngress) return 0.6;
  const briefFilm = wetting.filmed && wetting.filmMs < HOUR_MS;
  return (briefFilm ? 0.8 : 0.95) - (wetting.marginInferred ? 0.07 : 0);
}

function certaintyInWords(probability: number, outdoorKnown: boolean): string {
  if (!outdoorKnown) return 'low: without an outdoor reference water cannot be told from damp air';
  if (probability >= 0.85) return 'high: with an outdoor reference';
  return 'fair: with an outdoor reference, near the edge between sources';
}

/** The episode to pass on; `endMs` null while it goes on. */
export function wettingEpisode(
  wetting: OpenWetting,
  endMs: number | null,
  outdoor: OutdoorSlice,
): WettingEpisode {
  const outdoorKnown = wetting.knownMs > 0 || outdoor.vapourPascals !== null;
  const peakMs = endMs === null ? wetting.peakMs : Math.min(wetting.peakMs, endMs);
  const probability = wettingSourceProbability(wetting);
  return {
    startMs: wetting.startMs,
    peakMs,
    endMs,
    source: wettingSource(wetting),
    wetHours: evidenceNumber(wetting.wetMs / HOUR_MS),
    evidence: {
      lowestDewPointMarginKelvin: evidenceNumber(wetting.lowestMarginKelvin),
      marginInferredFromAir: wetting.marginInferred,
      highestRelativeHumidityPercent: evidenceNumber(wetting.highestHumidityPercent),
      condensingMinutes: evidenceNumber(wetting.filmMs / MINUTE_MS),
      dryingHours: endMs === null ? null : evidenceNumber((endMs - peakMs) / HOUR_MS),
      greatestVapourPressureExcessPascals: evidenceNumber(wetting.greatestExcessPascals),
      meanExcessRatio: evidenceNumber(meanExcessRatio(wetting)),
      rainOfDayBeforeAtLeastMillimetres: evidenceNumber(wetting.rainMillimetres),
      outdoorReference: outdoorKnown,
      sourceProbability: evidenceNumber(probability),
      sourceCertainty: certaintyInWords(probability, outdoorKnown),
    },
  };
}
