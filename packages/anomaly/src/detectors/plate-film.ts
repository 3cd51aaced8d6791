import { saturationGrowthPerKelvin, saturationOverWaterPascals } from '@lineside/physics';
import { type FieldGuards, isBoolean, isNumber, isNumberOrNull } from '../field-guards.ts';
import type { VapourExcess } from './outdoor.ts';
import type { CompartmentAir } from './sample.ts';
import { smoothed } from './smoothing.ts';

/**
 * How much water lies on the plate: vapour that went to it less vapour that left it.
 *
 * The plate takes up water with the distance of its temperature below the dew point (the analogy of
 * heat and mass transfer), so it says film from a gram on, dew that anyone would see. What a film
 * does to the margin is learned: over a film the air stays close to the plate's saturation, so the
 * margins of wet nights show by how much this unit's sensors are off together. Air that has lost
 * vapour against the air outside has left it on a cold surface: an outdoor report adds to it.
 * Without a plate sensor the plate is assumed to be colder than the air by `COLDER_KELVIN`.
 */
export interface PlateFilm {
  /** Water on the plate, liquid or frozen, g/m2. */
  readonly grams: number;
  /** Whether that is a film; it is one until it has nearly gone. */
  readonly present: boolean;
  /** Measured dew-point margin over a film, K: what the sensors are off together. */
  readonly offsetKelvin: number;
  /** Vapour pressure outside as the compartment's air can have followed it, Pa. */
  readonly outdoorPascals: number | null;
}

const MINUTE_MS = 60_000;
const HOUR_MS = 3_600_000;
const GRAMS_BEGIN = 1;
const GRAMS_END = 0.3;
/** More runs down. An assumption; it bounds how long a misread film is believed. */
const GRAMS_MOST = 25;
/** g/(m2 h) for each Pa: still air over a plate, 4 W/(m2 K) by convection; common practice. */
const GRAMS_PER_PASCAL_HOUR = 0.1;
/** Beyond these distances from the dew point the margin says no more, K. */
const MOST_COLDER_KELVIN = 1;
const MOST_WARMER_KELVIN = 4;
/** Plates radiate to the night sky: common practice, no source. */
const COLDER_KELVIN = 0.8;
/** By day such a plate is warmer than the air rather, and dries faster. */
const INFERRED_DRYING_FACTOR = 3;

const OFFSET_AT_START_KELVIN = 0.2;
/** 3 %RH near saturation is half a kelvin, and the plate's sensor adds to it. */
const MOST_OFFSET_KELVIN = 0.7;
/** Margins well below the dew point are condensation rather than the sensors. */
const LEAST_OFFSET_KELVIN = -0.3;
/** A plate this far below the dew point is cold; no sensors are that far off together. */
const BEYOND_SENSORS_KELVIN = -0.8;
/** A margin below the offset by this much is condensation that goes on; more is the sensors. */
const CONDENSING_KELVIN = 0.25;
/** Over a film that dries the margin is higher by up to this much. */
const DRYING_KELVIN = 0.7;
const OFFSET_FALLS_MS: number = 8 * HOUR_MS;
const OFFSET_RISES_MS: number = 15 * HOUR_MS;

/** Vapour lost to surfaces against the air outside: a few air changes an hour. */
const GRAMS_PER_LOST_PASCAL_HOUR = 0.035;
/** Offsets of two good humidity sensors, share of saturation. */
const LOST_ERROR_SHARE = 0.006;
/** A loss of vapour goes to surfaces only where the air is near saturation, K. */
const LOSS_MARGIN_KELVIN = 1.2;
/** Air inside follows air that grows moister outside with such a lag (common practice). */
const FOLLOWING_LAG_MS: number = 60 * MINUTE_MS;

export const PLATE_FILM_START: PlateFilm = {
  grams: 0,
  present: false,
  offsetKelvin: OFFSET_AT_START_KELVIN,
  outdoorPascals: null,
};

export const PLATE_FILM_FIELDS: FieldGuards<PlateFilm> = {
  grams: isNumber,
  present: isBoolean,
  offsetKelvin: isNumber,
  outdoorPascals: isNumberOrNull,
};

/** To be called for instants that bring the compartment's air; `excess` null without a report. */
export function stepPlateFilm(
  film: PlateFilm,
  air: CompartmentAir,
  excess: VapourExcess | null,
  elapsedMs: number,
  usualExcessPascals: number,
): PlateFilm {
  const outdoorPascals = followed(film.outdoorPascals, air, excess, elapsedMs, usualExcessPascals);
  const rate = air.marginInferred
    ? inferredRate(air, outdoorPascals)
    : measuredRate(film, air, outdoorPascals);
  const grams = film.grams + (rate * elapsedMs) / HOUR_MS;
  const bounded = Math.min(Math.max(grams, 0), GRAMS_MOST);
  return {
    grams: rounded(bounded, 1e5),
    present: bounded >= (film.present ? GRAMS_END : GRAMS_BEGIN),
    offsetKelvin: air.marginInferred
      ? film.offsetKelvin
      : rounded(learnedOffset(film, air, elapsedMs), 1e7),
    outdoorPascals: outdoorPascals === null ? null : rounded(outdoorPascals, 1e3),
  };
}

/** To digits far below what a minute adds: the state is bounded. */
function rounded(value: number, digits: number): number {
  return Math.round(value * digits) / digits;
}

/** Rises of the air outside are followed with a lag, falls at once: no vapour is lost by them. */
function followed(
  before: number | null,
  air: CompartmentAir,
  excess: VapourExcess | null,
  elapsedMs: number,
  usualExcessPascals: number,
): number | null {
  if (excess === null) return null;
  const now = air.vapourPascals - excess.pascals + usualExcessPascals;
  return before === null || now <= before
    ? now
    : smoothed(before, now, elapsedMs, FOLLOWING_LAG_MS);
}

/** g/(m2 h) that a surface takes up which is `kelvin` warmer than the dew point; below 0: dries. */
function exchangeRate(kelvin: number, { surfaceCelsius }: CompartmentAir): number {
  const celsius = Math.min(surfaceCelsius, 99);
  const bounded = Math.min(Math.max(kelvin, -MOST_COLDER_KELVIN), MOST_WARMER_KELVIN);
  const pascalsPerKelvin = saturationGrowthPerKelvin(celsius) * saturationOverWaterPascals(celsius);
  return -GRAMS_PER_PASCAL_HOUR * bounded * pascalsPerKelvin;
}

function measuredRate(film: PlateFilm, air: CompartmentAir, outdoorPascals: number | null): number {
  return exchangeRate(air.marginKelvin - film.offsetKelvin, air) + lossRate(air, outdoorPascals);
}

function inferredRate(air: CompartmentAir, outdoorPascals: number | null): number {
  const nearSaturation = air.marginKelvin <= LOSS_MARGIN_KELVIN;
  if (outdoorPascals !== null && nearSaturation) {
    const lost = lossRate(air, outdoorPascals);
    if (lost > 0) return lost;
    return 0.02 * Math.min(outdoorPascals - air.vapourPascals, 0);
  }
  const rate = exchangeRate(air.marginKelvin - COLDER_KELVIN, air);
  return rate < 0 ? INFERRED_DRYING_FACTOR * rate : rate;
}

function lossRate(air: CompartmentAir, outdoorPascals: number | null): number {
  if (outdoorPascals === null || air.marginKelvin > LOSS_MARGIN_KELVIN) return 0;
  const lost = outdoorPascals - air.vapourPascals - LOST_ERROR_SHARE * air.saturationPascals;
  return lost > 0 ? GRAMS_PER_LOST_PASCAL_HOUR * lost : 0;
}

function learnedOffset(film: PlateFilm, air: CompartmentAir, elapsedMs: number): number {
  const before = film.offsetKelvin;
  const { marginKelvin } = air;
  let offset = before;
  // Over frost the humidity sensor is at the end of its range.
  if (air.surfaceCelsius <= 0 || marginKelvin < BEYOND_SENSORS_KELVIN) return before;
  if (marginKelvin < before - CONDENSING_KELVIN) {
    offset = smoothed(before, marginKelvin + CONDENSING_KELVIN, elapsedMs, OFFSET_FALLS_MS);
  } else if (film.present && marginKelvin < before + DRYING_KELVIN) {
    offset = smoothed(before, marginKelvin, elapsedMs, OFFSET_RISES_MS);
  }
  return Math.min(Math.max(offset, LEAST_OFFSET_KELVIN), MOST_OFFSET_KELVIN);
}
