import { FILM_BANDS, filmBand, filmBandRange } from '../detectors/film-humidity.ts';
import type { UnitCurve } from './unit-curve.ts';

/** A band of the film's humidity, %RH. */
export interface HumidityBand {
  readonly fromPercent: number;
  readonly toPercent: number;
}

/** An hour of readings, five minutes apart. */
const ENOUGH_READINGS = 12;

/**
 * Bands of humidity in which the unit has not been seen for an hour, driest first: what is still
 * to be learned. Empty once its response is known in all weathers; days do not count.
 */
export function missingBands({ points }: UnitCurve): readonly HumidityBand[] {
  const readings = new Array<number>(FILM_BANDS).fill(0);
  for (const point of points) {
    const band = filmBand(point.humidityPercent);
    readings[band] = (readings[band] ?? 0) + point.readings;
  }
  return readings.flatMap((count, band) => (count >= ENOUGH_READINGS ? [] : [filmBandRange(band)]));
}
