import { type FieldGuard, isListOf, isNullOr, isNumber } from '../field-guards.ts';
import { type DayScatter, isWetFilm, scatterOf, wetTrendOf } from './day-scatter.ts';
import type { CurvePoint } from './humidity-curve.ts';
import { heldDeviation, LEAST_READINGS, precise, REMEMBERED_READINGS } from './running-level.ts';

/**
 * The leakage at rest in fine bins of film humidity, each a running mean over what it remembers:
 * five hours of readings, so that it follows a growing track from one wetting to the next.
 */
export type ResponseBin = readonly [
  milliamps: number,
  /** Mean deviation of single readings, mA. */
  spread: number,
  readings: number,
  /** Mean humidity of what was seen, %RH. */
  percent: number,
  /** Hour (since 1970) of the last visit. */
  hour: number,
];

/** Lower edges of the bins, %RH; narrow where surfaces are steep. */
const EDGES_PERCENT = [0, 45, 55, 65, 75, 82, 88, 93, 97] as const;
const RESPONSE_BINS: number = EDGES_PERCENT.length;
/** A track grows while it is wet: two hours of that tell more of the next wetting than five. */
const REMEMBERED_WET_READINGS = 24;
/** After six weeks without a visit half an hour of new readings counts as much as all of before. */
const STALE_HOURS: number = 42 * 24;
const STALE_READINGS = 6;
/** Dirt, weather and season move a level by a tenth in a month, our estimate. */
const SCATTER_AN_HOUR: number = 0.004 / 24;
/** Another visit, as far as films go: it has dried between. */
const NEW_VISIT_HOURS = 12;

export const NO_BINS: readonly null[] = new Array<null>(RESPONSE_BINS).fill(null);

const isBin: FieldGuard = isNullOr(
  (bin) => Array.isArray(bin) && bin.length === 5 && bin.every(isNumber),
);
export const areBins: FieldGuard = (value) =>
  Array.isArray(value) && value.length === RESPONSE_BINS && isListOf(isBin, RESPONSE_BINS)(value);

/** Bin of a film's humidity, 0 the driest. */
export function binOf(percent: number): number {
  let index = RESPONSE_BINS - 1;
  while (index > 0 && percent < (EDGES_PERCENT[index] ?? 0)) index -= 1;
  return index;
}

/** The level of the driest bin, mA; 0 where none is known. */
export function floorOf(bins: readonly (ResponseBin | null)[]): number {
  for (const bin of bins) {
    if (!isKnown(bin)) continue;
    return isWetFilm(bin[3]) ? 0 : bin[0];
  }
  return 0;
}

/** True once a bin has a level to hold others against. */
export function isKnown(bin: ResponseBin | null): bin is ResponseBin {
  return bin !== null && bin[2] >= LEAST_READINGS;
}

export function isAnotherVisit([, , , , lastHour]: ResponseBin, hour: number): boolean {
  return hour - lastHour >= NEW_VISIT_HOURS;
}

export function nextBin(
  bin: ResponseBin | null,
  milliamps: number,
  percent: number,
  hour: number,
): ResponseBin {
  if (bin === null) return [precise(milliamps), 0, 1, precise(percent), hour];
  const [level, spread, seen, mean, lastHour] = bin;
  const readings = hour - lastHour > STALE_HOURS ? Math.min(seen, STALE_READINGS) : seen;
  const share = 1 / (readings + 1);
  const deviation = heldDeviation(milliamps, level, spread, readings);
  return [
    precise(level + share * deviation),
    precise(spread + share * (Math.abs(deviation) - spread)),
    Math.min(readings + 1, isWetFilm(percent) ? REMEMBERED_WET_READINGS : REMEMBERED_READINGS),
    precise(mean + share * (percent - mean)),
    hour,
  ];
}

/** All levels moved by as much: the sensor, not the unit, has changed. */
export function shiftedBins(
  bins: readonly (ResponseBin | null)[],
  milliamps: number,
): readonly (ResponseBin | null)[] {
  return bins.map((bin) => {
    if (bin === null) return null;
    const [level, ...rest] = bin;
    return [precise(Math.max(level + milliamps, 0)), ...rest];
  });
}

/** The bins that say something, in ascending humidity. */
export function pointsOfBins(
  bins: readonly (ResponseBin | null)[],
  scatter: DayScatter,
  hour: number,
): readonly CurvePoint[] {
  const points: CurvePoint[] = [];
  for (const bin of bins) {
    if (!isKnown(bin)) continue;
    const [milliamps, spreadMilliamps, readings, humidityPercent, lastHour] = bin;
    const wet = isWetFilm(humidityPercent);
    points.push({
      humidityPercent,
      milliamps,
      spreadMilliamps,
      readings,
      scatter: scatterOf(scatter, wet) + SCATTER_AN_HOUR * Math.max(hour - lastHour, 0),
      trend: wet ? wetTrendOf(scatter) : 0,
    });
  }
  return points;
}
