import { type FieldGuards, isBoolean, isNumber } from '../field-guards.ts';
import type { WettingEpisode, WettingSource } from '../vocabulary.ts';
import { evidenceNumber } from './figures.ts';
import { type OutdoorSlice, recentRainMillimetres } from './outdoor.ts';

/** A wetting that goes on. */
export interface OpenWetting {
  readonly startMs: number;
  readonly peakMs: number;
  readonly lowestMarginKelvin: number;
  readonly highestHumidityPercent: number;
  readonly wetMs: number;
  /** Wet time with a vapour-pressure excess beyond error after rain or melt. */
  readonly ingressMs: number;
  /** Wet time with a surface at its dew point. */
  readonly condensingMs: number;
  readonly marginInferred: boolean;
  /** When the episode was last passed on. */
  readonly toldAtMs: number;
}

export const OPEN_WETTING_FIELDS: FieldGuards<OpenWetting> = {
  startMs: isNumber,
  peakMs: isNumber,
  lowestMarginKelvin: isNumber,
  highestHumidityPercent: isNumber,
  wetMs: isNumber,
  ingressMs: isNumber,
  condensingMs: isNumber,
  marginInferred: isBoolean,
  toldAtMs: isNumber,
};

const MINUTE_MS = 60_000;
const HOUR_MS = 3_600_000;
/** An excess that lasts less may be dew that dries off. */
const INGRESS_LEAST_MS: number = HOUR_MS;
const CONDENSING_LEAST_MS: number = 10 * MINUTE_MS;
const CONDENSING_LEAST_SHARE = 0.1;

/** Where the water comes from, by what most of the wet time showed so far. */
export function wettingSource(wetting: OpenWetting): WettingSource {
  if (wetting.ingressMs >= INGRESS_LEAST_MS) return 'water-ingress';
  const condensing =
    wetting.condensingMs >= CONDENSING_LEAST_MS &&
    wetting.condensingMs >= CONDENSING_LEAST_SHARE * wetting.wetMs;
  return condensing ? 'condensation' : 'humid-weather';
}

/** The episode to pass on; `endMs` null while it goes on. */
export function wettingEpisode(
  wetting: OpenWetting,
  endMs: number | null,
  outdoor: OutdoorSlice,
  atMs: number,
): WettingEpisode {
  const outdoorKnown = outdoor.vapourPascals !== null;
  return {
    startMs: wetting.startMs,
    peakMs: wetting.peakMs,
    endMs,
    source: wettingSource(wetting),
    wetHours: evidenceNumber(wetting.wetMs / HOUR_MS),
    evidence: {
      lowestDewPointMarginKelvin: evidenceNumber(wetting.lowestMarginKelvin),
      marginInferredFromAir: wetting.marginInferred,
      highestRelativeHumidityPercent: evidenceNumber(wetting.highestHumidityPercent),
      condensingMinutes: evidenceNumber(wetting.condensingMs / MINUTE_MS),
      ingressMinutes: evidenceNumber(wetting.ingressMs / MINUTE_MS),
      rainOfLastDayAtLeastMillimetres: outdoor.precipitationReported
        ? evidenceNumber(recentRainMillimetres(outdoor, atMs))
        : null,
      outdoorReference: outdoorKnown,
      sourceCertainty: outdoorKnown
        ? 'with an outdoor reference'
        : 'low: without an outdoor reference water cannot be told from damp air',
    },
  };
}
