import { type FieldGuard, isNumber } from '../field-guards.ts';

/**
 * How far one day's leakage lies from what was learned on days before, at the same humidity: what
 * a forecast for another day has to allow for. Mean of |ln(ratio)| over the last visits after half
 * a day or more, for dry and for wet films, and how many visits that were.
 */
export type DayScatter = readonly [dry: number, dryVisits: number, wet: number, wetVisits: number];

/** From here on films differ from day to day as wet ones do, %RH. */
const WET_FROM_PERCENT = 65;
/** Before anything is seen: a tenth when dry, a quarter when wet. Our own estimate. */
const USUAL_DRY = 0.08;
const USUAL_WET = 0.2;
/** The estimate counts for as much as this many visits. */
const USUAL_VISITS = 4;
const REMEMBERED_VISITS = 20;
/** One visit may be another story: a repair, a storm. */
const MOST_OF_A_VISIT = 1.5;
/** What no sensor tells, mA: small levels differ by much without meaning it. */
const SMALL_MILLIAMPS = 0.2;
const SIGMAS_A_MEAN_DEVIATION: number = Math.sqrt(Math.PI / 2);

export const DAY_SCATTER_START: DayScatter = [USUAL_DRY, USUAL_VISITS, USUAL_WET, USUAL_VISITS];

export const isDayScatter: FieldGuard = (value) =>
  Array.isArray(value) && value.length === 4 && value.every(isNumber);

export function isWetFilm(percent: number): boolean {
  return percent >= WET_FROM_PERCENT;
}

/** A first reading of another day against the level of before. */
export function nextScatter(
  [dry, dryVisits, wet, wetVisits]: DayScatter,
  filmPercent: number,
  levelMilliamps: number,
  milliamps: number,
): DayScatter {
  const ratio = (milliamps + SMALL_MILLIAMPS) / (levelMilliamps + SMALL_MILLIAMPS);
  const deviation = Math.min(Math.abs(Math.log(ratio)), MOST_OF_A_VISIT);
  const next = (mean: number, visits: number): number =>
    Math.round((mean + (deviation - mean) / (visits + 1)) * 1000) / 1000;
  const more = (visits: number): number => Math.min(visits + 1, REMEMBERED_VISITS);
  return isWetFilm(filmPercent)
    ? [dry, dryVisits, next(wet, wetVisits), more(wetVisits)]
    : [next(dry, dryVisits), more(dryVisits), wet, wetVisits];
}

/** As standard deviation of ln(current). */
export function scatterOf([dry, , wet]: DayScatter, isWet: boolean): number {
  return SIGMAS_A_MEAN_DEVIATION * (isWet ? wet : dry);
}
