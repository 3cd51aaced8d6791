import { filmBand } from '../detectors/film-humidity.ts';
import { type DayScatter, isWetFilm, scatterOf, wetTrendOf } from './day-scatter.ts';
import type { CurvePoint } from './humidity-curve.ts';
import { leakageAt } from './humidity-curve.ts';
import { knownBands, type StageBand, type StageResponse } from './load-response.ts';

/**
 * What the unit leaks against humidity, from rest where rest was seen, and from running stages
 * less what their load adds where only they were: a track on the line side is the same in both.
 * Where a stage leaks beyond doubt more than rest with the same film, the wet leak is behind a
 * contactor, and the stage is what a wet day will find.
 */
export interface UnitCurve {
  readonly points: readonly CurvePoint[];
  /** What it rests on. `running`: rest was not seen, so the sensor's error is in it. */
  readonly basis: 'rest' | 'running';
  /** What the load adds to the reading, mA per A: the sensor's error, or a drive's. */
  readonly loadMilliampsPerAmp: number | null;
  /** How much of it the sensor may err by under load, mA; 0 where rest was seen. */
  readonly errorMilliamps: number;
}

/** A stage is believed against rest when it is above it by this much, mA, by this share, ... */
const BEYOND_DOUBT_MILLIAMPS = 1;
const BEYOND_DOUBT_SHARE = 0.35;
/** ... and by this many mean deviations of its own. */
const BEYOND_DOUBT_SPREADS = 3;

/** The sensor's error under load, 0.02 to 0.1 % of the amps, may have changed by so much since. */
const CHANGED_ERROR_MILLIAMPS_PER_AMP = 0.3;
/** What it may be at most, where rest has not told it. */
const MOST_ERROR_MILLIAMPS_PER_AMP = 1;

/** A stage of load by what it has above rest in the driest film that both were seen in. */
interface LoadAddition {
  readonly amps: number;
  readonly spread: number;
  /** null where rest was not seen in any film that the stage was. */
  readonly additionMilliamps: number | null;
  readonly bands: readonly StageBand[];
}

export function unitCurve(
  rest: readonly CurvePoint[],
  stages: readonly (StageResponse | null)[],
  scatter: DayScatter,
): UnitCurve {
  const additions = loadAdditions(rest, stages);
  if (rest.length === 0) return fromRunning(additions, scatter);
  const points = rest.slice();
  for (const stage of additions) {
    const { additionMilliamps: addition, spread, bands } = stage;
    if (addition === null) continue;
    for (const level of bands) {
      const milliamps = Math.max(level.milliamps - addition, 0);
      const point = pointOf({ ...level, milliamps }, spread, scatter);
      const same = points.filter(({ humidityPercent }) => filmBand(humidityPercent) === level.band);
      const most = Math.max(...same.map((each) => each.milliamps));
      if (same.length > 0 && !isBeyond(milliamps, most, stage)) continue;
      if (same.length === 0 && isWithinNoise(point, points)) continue;
      for (const each of same) points.splice(points.indexOf(each), 1);
      points.push(point);
    }
  }
  points.sort((one, other) => one.humidityPercent - other.humidityPercent);
  return {
    points,
    basis: 'rest',
    loadMilliampsPerAmp: perAmp(additions),
    errorMilliamps: 0,
  };
}

/** What each running stage has above rest. */
export function loadAdditions(
  rest: readonly CurvePoint[],
  stages: readonly (StageResponse | null)[],
): readonly LoadAddition[] {
  return stages.flatMap((stage) => {
    if (stage === null) return [];
    const [amps, spread] = stage;
    const bands = knownBands(stage);
    if (bands.length === 0) return [];
    const shared = bands.find(({ humidityPercent }) => isSeenAt(rest, humidityPercent));
    const atRest = shared === undefined ? null : leakageAt(rest, shared.humidityPercent);
    const additionMilliamps =
      shared === undefined || atRest === null ? null : shared.milliamps - atRest.milliamps;
    return [{ amps, spread, additionMilliamps, bands }];
  });
}

function isSeenAt(rest: readonly CurvePoint[], humidityPercent: number): boolean {
  const first = rest[0];
  const last = rest.at(-1);
  if (first === undefined || last === undefined) return false;
  return (
    humidityPercent >= first.humidityPercent - 10 && humidityPercent <= last.humidityPercent + 5
  );
}

function isBeyond(milliamps: number, rest: number, { spread, amps }: LoadAddition): boolean {
  const above = milliamps - rest;
  return (
    above > BEYOND_DOUBT_MILLIAMPS + CHANGED_ERROR_MILLIAMPS_PER_AMP * amps &&
    above > BEYOND_DOUBT_SHARE * milliamps &&
    above > BEYOND_DOUBT_SPREADS * spread
  );
}

/** A drive's reading scatters so much that it says nothing of the film. */
function isWithinNoise({ spreadMilliamps }: CurvePoint, rest: readonly CurvePoint[]): boolean {
  const most = Math.max(...rest.map(({ milliamps }) => milliamps));
  return spreadMilliamps > Math.max(most, BEYOND_DOUBT_MILLIAMPS);
}

/** Only running was seen: the stage that was seen most. */
function fromRunning(stages: readonly LoadAddition[], scatter: DayScatter): UnitCurve {
  const seen = ({ bands }: LoadAddition): number =>
    bands.reduce((sum, { readings }) => sum + readings, 0);
  let most: LoadAddition | null = null;
  for (const stage of stages) if (most === null || seen(stage) > seen(most)) most = stage;
  const { amps, spread, bands } = most ?? { amps: 0, spread: 0, bands: [] };
  return {
    points: bands.map((level) => pointOf(level, spread, scatter)),
    basis: 'running',
    loadMilliampsPerAmp: null,
    errorMilliamps: MOST_ERROR_MILLIAMPS_PER_AMP * amps,
  };
}

function pointOf(level: StageBand, spread: number, scatter: DayScatter): CurvePoint {
  const wet = isWetFilm(level.humidityPercent);
  return {
    humidityPercent: level.humidityPercent,
    milliamps: level.milliamps,
    spreadMilliamps: spread,
    readings: level.readings,
    scatter: scatterOf(scatter, wet),
    trend: wet ? wetTrendOf(scatter) : 0,
  };
}

/** Least squares through nothing at no load. */
function perAmp(stages: readonly LoadAddition[]): number | null {
  let squares = 0;
  let products = 0;
  for (const { amps, additionMilliamps } of stages) {
    if (additionMilliamps === null) continue;
    squares += amps * amps;
    products += amps * additionMilliamps;
  }
  return squares === 0 ? null : Math.round((1000 * products) / squares) / 1000 + 0;
}
