import { type FieldGuard, isNumber } from '../field-guards.ts';

/**
 * How far one day's leakage lies from what was learned on days before, at the same humidity: what
 * a forecast for another day has to allow for. Mean of |ln(ratio)| over the last visits after half
 * a day or more, for dry films and for the excess of wet ones over dry, and how many visits that
 * were; and the mean of ln(ratio) of wet ones: a track that grows is found higher each time.
 */
export type DayScatter = readonly [
  dry: number,
  dryVisits: number,
  wet: number,
  wetVisits: number,
  wetTrend: number,
];

/** From here on films differ from day to day as wet ones do, %RH. */
const WET_FROM_PERCENT = 65;
/** Before anything is seen: a tenth when dry, a third when wet. Our own estimate. */
const USUAL_DRY = 0.08;
const USUAL_WET = 0.3;
/** The estimate counts for as much as this many visits. */
const USUAL_VISITS = 4;
const REMEMBERED_VISITS = 20;
/** One visit may be another story: a repair, a storm. */
const MOST_OF_A_VISIT = 1.5;
/** What no sensor tells, mA: small levels differ by much without meaning it. */
const SMALL_MILLIAMPS = 0.2;
const SIGMAS_A_MEAN_DEVIATION: number = Math.sqrt(Math.PI / 2);

export const DAY_SCATTER_START: DayScatter = [USUAL_DRY, USUAL_VISITS, USUAL_WET, USUAL_VISITS, 0];

export const isDayScatter: FieldGuard = (value) =>
  Array.isArray(value) && value.length === 5 && value.every(isNumber);

export function isWetFilm(percent: number): boolean {
  return percent >= WET_FROM_PERCENT;
}

/** A first reading of another day against the level of before; `floor` is that of dry films. */
export function nextScatter(
  [dry, dryVisits, wet, wetVisits, trend]: DayScatter,
  filmPercent: number,
  levelMilliamps: number,
  milliamps: number,
  floorMilliamps: number,
): DayScatter {
  const isWet = isWetFilm(filmPercent);
  const least = (isWet ? floorMilliamps : 0) - SMALL_MILLIAMPS;
  const over = (value: number): number => Math.max(value - least, SMALL_MILLIAMPS);
  const told = Math.log(over(milliamps) / over(levelMilliamps));
  const deviation = Math.min(Math.max(told, -MOST_OF_A_VISIT), MOST_OF_A_VISIT);
  const next = (mean: number, visits: number, value: number): number =>
    Math.round((mean + (value - mean) / (visits + 1)) * 1000) / 1000 + 0;
  const more = (visits: number): number => Math.min(visits + 1, REMEMBERED_VISITS);
  const size = Math.abs(deviation);
  if (!isWet) return [next(dry, dryVisits, size), more(dryVisits), wet, wetVisits, trend];
  const nextTrend = next(trend, wetVisits, deviation);
  return [dry, dryVisits, next(wet, wetVisits, size), more(wetVisits), nextTrend];
}

/** As standard deviation of ln(current). */
export function scatterOf([dry, , wet]: DayScatter, isWet: boolean): number {
  return SIGMAS_A_MEAN_DEVIATION * (isWet ? wet : dry);
}

/** How much higher in ln(current) the next wetting finds what grows; 0 where nothing does. */
export function wetTrendOf([, , , , trend]: DayScatter): number {
  return Math.max(trend, 0);
}
