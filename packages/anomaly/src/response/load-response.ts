import { FILM_BANDS, filmBand } from '../detectors/film-humidity.ts';
import { type FieldGuard, isListOf, isNullOr, isNumber } from '../field-guards.ts';
import { heldDeviation, LEAST_READINGS, precise, REMEMBERED_READINGS } from './running-level.ts';

/**
 * What leaks while a stage of load runs, by coarse bands of film humidity. Beside the film it has
 * what hangs behind the contactors, a filter's or drive's share, and the sensor's error, which
 * goes with the amps; rest tells these from the film.
 */
export type StageResponse = readonly [
  /** Mean of the largest phase current, A. */
  amps: number,
  /** Mean deviation of single readings from their band, mA. */
  spread: number,
  /** Level (mA) and the readings that it remembers, by band of humidity. */
  bands: readonly (readonly [milliamps: number, readings: number] | null)[],
];

/** Middles of the bands of film humidity, %RH; of the driest where most of its time is spent. */
const MIDDLES_PERCENT: readonly number[] = [55, 73, 85, 95];

const isBandLevel: FieldGuard = isNullOr(
  (level) => Array.isArray(level) && level.length === 2 && level.every(isNumber),
);

export const isStageResponse: FieldGuard = isNullOr(
  (stage) =>
    Array.isArray(stage) &&
    stage.length === 3 &&
    isNumber(stage[0]) &&
    isNumber(stage[1]) &&
    isListOf(isBandLevel, FILM_BANDS)(stage[2]),
);

export function nextStageResponse(
  stage: StageResponse | null,
  milliamps: number,
  largestAmps: number,
  filmPercent: number,
): StageResponse {
  const [amps, spread, bands] = stage ?? [largestAmps, 0, NO_BANDS];
  const index = filmBand(filmPercent);
  const [level, readings] = bands[index] ?? [milliamps, 0];
  const share = 1 / (readings + 1);
  const deviation = heldDeviation(milliamps, level, spread, readings);
  const next = bands.slice();
  next[index] = [precise(level + share * deviation), Math.min(readings + 1, REMEMBERED_READINGS)];
  const slow = 1 / REMEMBERED_READINGS;
  const spreadShare = Math.max(slow, share);
  return [
    precise(amps + spreadShare * (largestAmps - amps)),
    precise(spread + spreadShare * (Math.abs(deviation) - spread)),
    next,
  ];
}

const NO_BANDS: readonly null[] = new Array<null>(FILM_BANDS).fill(null);

export function shiftedStage(stage: StageResponse | null, milliamps: number): StageResponse | null {
  if (stage === null) return null;
  const [amps, spread, bands] = stage;
  return [
    amps,
    spread,
    bands.map((band) => band && [precise(Math.max(band[0] + milliamps, 0)), band[1]]),
  ];
}

/** Level of one band of a stage. */
export interface StageBand {
  readonly band: number;
  readonly humidityPercent: number;
  readonly milliamps: number;
  readonly readings: number;
}

/** The bands of a stage that say something, driest first. */
export function knownBands(stage: StageResponse): readonly StageBand[] {
  return stage[2].flatMap((level, band) =>
    level === null || level[1] < LEAST_READINGS
      ? []
      : [
          {
            band,
            humidityPercent: MIDDLES_PERCENT[band] ?? 0,
            milliamps: level[0],
            readings: level[1],
          },
        ],
  );
}
