import { saturationOverWaterPascals } from '@lineside/physics';
import { type FieldGuards, isNumberOrNull } from '../field-guards.ts';
import type { CompartmentAir } from './sample.ts';
import { smoothed } from './smoothing.ts';

/**
 * How humid the film on the insulation is: the relative humidity at the surface, which the film
 * follows with a lag. Leakage of a dirty surface is steep in it, and falls on drying only as the
 * film dries. Raises nothing.
 */
export interface FilmHumiditySlice {
  readonly atMs: number | null;
  /** Lagged humidity at the surface, %RH. */
  readonly percent: number | null;
}

/** A film takes up and gives off water within half an hour or so; common practice, no source. */
const FILM_LAG_MS = 1_200_000;
/** Humidity that is older says nothing of the film of now. */
const STALE_MS = 1_800_000;

/** Lower edges of the bands that leakage is learned in, %RH; the first is all below the second. */
const BAND_EDGES_PERCENT = [0, 65, 80, 90] as const;
export const FILM_BANDS: number = BAND_EDGES_PERCENT.length;

export const FILM_HUMIDITY_START: FilmHumiditySlice = { atMs: null, percent: null };

export const FILM_HUMIDITY_FIELDS: FieldGuards<FilmHumiditySlice> = {
  atMs: isNumberOrNull,
  percent: isNumberOrNull,
};

/** To be called for instants that bring the compartment's air. */
export function stepFilmHumidity(
  slice: FilmHumiditySlice,
  atMs: number,
  air: CompartmentAir,
): FilmHumiditySlice {
  const saturation = air.marginInferred
    ? air.saturationPascals
    : saturationOverWaterPascals(Math.min(Math.max(air.surfaceCelsius, -100), 99));
  const surfacePercent = Math.min((100 * air.vapourPascals) / saturation, 100);
  const elapsedMs = slice.atMs === null ? 0 : atMs - slice.atMs;
  const before = elapsedMs > STALE_MS ? null : slice.percent;
  return { atMs, percent: smoothed(before, surfacePercent, elapsedMs, FILM_LAG_MS) };
}

/** The film's humidity, %RH; null when it is not known now. */
export function filmPercentAt(slice: FilmHumiditySlice, atMs: number): number | null {
  return slice.atMs !== null && atMs - slice.atMs <= STALE_MS ? slice.percent : null;
}

/** Band of a humidity, 0 the driest. */
export function filmBand(percent: number): number {
  let band = FILM_BANDS - 1;
  while (band > 0 && percent < (BAND_EDGES_PERCENT[band] ?? 0)) band -= 1;
  return band;
}

/** Humidities of a band, %RH. */
export function filmBandRange(band: number): {
  readonly fromPercent: number;
  readonly toPercent: number;
} {
  return {
    fromPercent: BAND_EDGES_PERCENT[band] ?? 0,
    toPercent: BAND_EDGES_PERCENT[band + 1] ?? 100,
  };
}
