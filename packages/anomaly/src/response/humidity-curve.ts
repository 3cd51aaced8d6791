import { hundredths } from '../detectors/kept-digits.ts';
/**
 * Leakage against the humidity of the film, as one unit was seen to give it: what it leaks at a
 * humidity that may not have been seen lately. No published law gives this: a floor that does not
 * know the weather, and on it a film whose current rises about exponentially with humidity (common
 * practice, no source). The slope is the unit's own as far as it has shown one.
 */

/** What was seen at one humidity. */
export interface CurvePoint {
  /** %RH, mean of what was seen. */
  readonly humidityPercent: number;
  readonly milliamps: number;
  /** Mean deviation of single readings from it, mA. */
  readonly spreadMilliamps: number;
  /** Readings, five minutes or more apart, that the level remembers; above zero. */
  readonly readings: number;
  /** By how much another day differs, as standard deviation of ln(current). */
  readonly scatter: number;
  /** By how much more, in ln(current), the next such day is to be expected; 0 or more. */
  readonly trend: number;
}

/** A level with the limits between which nine of ten next days of that humidity should lie. */
export interface LeakageEstimate {
  readonly milliamps: number;
  readonly lowerMilliamps: number;
  readonly upperMilliamps: number;
  /** True when nothing so humid (or so dry) was seen and the unit's own slope was followed. */
  readonly extrapolated: boolean;
}

/** Half of the distance within which a point stands for a humidity, %RH. */
const NEAR_PERCENT = 2.5;
/** Readings within an hour hang together: they count as one. */
const READINGS_A_VALUE = 12;
/** Standard deviations to a normal's 5 and 95 per cent points. */
const NINETY_PERCENT_SIGMAS = 1.645;
/** Mean deviation of a normal, times this, is its standard deviation: sqrt(pi / 2). */
const SIGMAS_A_MEAN_DEVIATION: number = Math.sqrt(Math.PI / 2);
/** Below this a sensor tells nothing from nothing, mA. */
const FLOOR_MILLIAMPS = 0.05;
/** Up to here a film hardly conducts: the driest level is the floor. %RH; domain's 60 to 75. */
const DRY_FILM_PERCENT = 66;
/**
 * Slope of ln(excess over the floor) against %RH before the unit has shown its own, with its
 * standard deviation: a tenfold rise over 13 to 60 %RH. Our own estimate, no source.
 */
const USUAL_SLOPE = 0.09;
const USUAL_SLOPE_SIGMA = 0.045;
/** A tenfold rise over 12 %RH: our bound. */
const STEEPEST_SLOPE: number = Math.log(10) / 12;
/** Beyond what was seen the law itself is in doubt. */
const LEAST_SLOPE_SIGMA = 0.025;
const SLOPE_FROM_PERCENT = 35;
/** Further off anything may be. */
const FURTHEST_PERCENT = 30;
/** How sure it is what an excess within the noise is, as standard deviation of ln. */
const UNSEEN_EXCESS_SIGMA = 0.8;

/**
 * The leakage at a humidity.
 *
 * @param points in ascending humidity.
 * @param humidityPercent 0 to 100.
 * @returns null when nothing was seen, or only so far off that any value could be.
 */
export function leakageAt(
  points: readonly CurvePoint[],
  humidityPercent: number,
): LeakageEstimate | null {
  const first = points[0];
  const last = points.at(-1);
  if (first === undefined || last === undefined) return null;
  const curve = curveOf(points);
  if (humidityPercent > last.humidityPercent + NEAR_PERCENT) {
    const distance = humidityPercent - last.humidityPercent;
    return distance > FURTHEST_PERCENT ? null : above(curve, distance);
  }
  if (humidityPercent < first.humidityPercent - 2 * NEAR_PERCENT) {
    const distance = first.humidityPercent - humidityPercent;
    return distance > FURTHEST_PERCENT ? null : below(curve);
  }
  const { milliamps, ...doubt } = between(curve, humidityPercent);
  const excess = Math.max(milliamps - curve.floor, 0);
  return withLimits(curve, excess, doubt, false);
}

interface Curve {
  readonly points: readonly CurvePoint[];
  /** Made to rise with humidity, mA. */
  readonly levels: readonly number[];
  /** What does not know the weather, mA; 0 where nothing dry was seen. */
  readonly floor: number;
  readonly floorNoise: number;
  readonly floorScatter: number;
}

function curveOf(points: readonly CurvePoint[]): Curve {
  const levels = risingLevels(points);
  const first = pointAt(points, 0);
  const isDry = first.humidityPercent <= DRY_FILM_PERCENT;
  return {
    points,
    levels,
    floor: isDry ? (levels[0] ?? 0) : 0,
    floorNoise: isDry ? noiseOf(first) : 0,
    floorScatter: first.scatter,
  };
}

/** Standard deviation of the level as a mean, mA. */
function noiseOf({ spreadMilliamps, readings }: CurvePoint): number {
  const values = Math.max(readings / READINGS_A_VALUE, 1);
  return Math.hypot((SIGMAS_A_MEAN_DEVIATION * spreadMilliamps) / Math.sqrt(values), 0.02);
}

interface SeenLevel {
  readonly milliamps: number;
  readonly noise: number;
  readonly scatter: number;
  readonly trend: number;
}

function between({ points, levels }: Curve, humidityPercent: number): SeenLevel {
  let lower = 0;
  for (const [index, point] of points.entries()) {
    if (point.humidityPercent <= humidityPercent) lower = index;
  }
  const upper = Math.min(lower + 1, points.length - 1);
  const from = pointAt(points, lower);
  const to = pointAt(points, upper);
  const width = to.humidityPercent - from.humidityPercent;
  const along = width > 0 ? (humidityPercent - from.humidityPercent) / width : 0;
  const share = Math.min(Math.max(along, 0), 1);
  const logFrom = Math.log(levels[lower] ?? FLOOR_MILLIAMPS);
  const logTo = Math.log(levels[upper] ?? FLOOR_MILLIAMPS);
  return {
    milliamps: Math.exp(logFrom + share * (logTo - logFrom)),
    noise: noiseOf(share < 0.5 ? from : to),
    scatter: Math.max(from.scatter, to.scatter),
    trend: Math.max(from.trend, to.trend),
  };
}

/** Wetter than anything seen: the excess over the floor goes on along the slope. */
function above(curve: Curve, distance: number): LeakageEstimate {
  const { points, levels, floor, floorNoise } = curve;
  const top = pointAt(points, points.length - 1);
  const seen = (levels.at(-1) ?? 0) - floor;
  const noise = Math.hypot(noiseOf(top), floorNoise);
  const least = 2 * noise + FLOOR_MILLIAMPS;
  const { slope, sigma } = topSlope(curve);
  const isSeen = seen > least;
  const excess = isSeen ? seen : Math.max(seen, least / 3);
  const doubt = isSeen ? Math.hypot(top.scatter, noise / seen) : UNSEEN_EXCESS_SIGMA;
  const sigmaThere = Math.hypot(doubt, sigma * distance);
  return withLimits(
    curve,
    excess * Math.exp(slope * distance),
    { noise: floorNoise, scatter: sigmaThere, trend: top.trend },
    true,
  );
}

/** Drier than anything seen: not more than there, and nothing is the least. */
function below(curve: Curve): LeakageEstimate {
  const first = pointAt(curve.points, 0);
  const level = curve.levels[0] ?? FLOOR_MILLIAMPS;
  const room = level * (Math.exp(NINETY_PERCENT_SIGMAS * first.scatter) - 1);
  return {
    milliamps: hundredths(level),
    lowerMilliamps: hundredths(Math.min(FLOOR_MILLIAMPS, level)),
    upperMilliamps: hundredths(level + room + NINETY_PERCENT_SIGMAS * noiseOf(first)),
    extrapolated: true,
  };
}

/** The unit's own slope of ln(excess), drawn towards the usual one as far as it is uncertain. */
function topSlope({ points, levels, floor, floorNoise }: Curve): {
  readonly slope: number;
  readonly sigma: number;
} {
  const top = pointAt(points, points.length - 1);
  const used = points.flatMap((point, index) => {
    const excess = (levels[index] ?? 0) - floor;
    const noise = Math.hypot(noiseOf(point), floorNoise);
    const isFar = top.humidityPercent - point.humidityPercent > SLOPE_FROM_PERCENT;
    if (isFar || excess <= 2 * noise + FLOOR_MILLIAMPS) return [];
    const weight = 1 / (point.scatter ** 2 + (noise / excess) ** 2);
    return [{ x: point.humidityPercent, y: Math.log(excess), weight }];
  });
  const total = used.reduce((sum, { weight }) => sum + weight, 0);
  if (used.length < 2) return { slope: USUAL_SLOPE, sigma: USUAL_SLOPE_SIGMA };
  const meanX = used.reduce((sum, { x, weight }) => sum + weight * x, 0) / total;
  const meanY = used.reduce((sum, { y, weight }) => sum + weight * y, 0) / total;
  const xx = used.reduce((sum, { x, weight }) => sum + weight * (x - meanX) ** 2, 0);
  const xy = used.reduce((sum, { x, y, weight }) => sum + weight * (x - meanX) * (y - meanY), 0);
  const usual = 1 / USUAL_SLOPE_SIGMA ** 2;
  const slope = (xy + usual * USUAL_SLOPE) / (xx + usual);
  const sigma = Math.max(1 / Math.sqrt(xx + usual), LEAST_SLOPE_SIGMA);
  return { slope: Math.min(Math.max(slope, 0), STEEPEST_SLOPE), sigma };
}

/** Levels in mA, made to rise with humidity: pooled where they do not (Ayer et al. 1955). */
export function risingLevels(points: readonly CurvePoint[]): readonly number[] {
  const pools: { log: number; readings: number; count: number }[] = [];
  for (const { milliamps, readings } of points) {
    pools.push({ log: Math.log(Math.max(milliamps, FLOOR_MILLIAMPS)), readings, count: 1 });
    for (;;) {
      const last = pools.at(-1);
      const before = pools.at(-2);
      if (last === undefined || before === undefined || before.log <= last.log) break;
      pools.pop();
      const total = before.readings + last.readings;
      before.log = (before.readings * before.log + last.readings * last.log) / total;
      before.readings = total;
      before.count += last.count;
    }
  }
  return pools.flatMap(({ log, count }) => new Array<number>(count).fill(Math.exp(log)));
}

/** The doubts about floor, film and mean are independent of each other. */
function withLimits(
  { floor, floorScatter }: Curve,
  excess: number,
  { noise, scatter, trend }: Omit<SeenLevel, 'milliamps'>,
  extrapolated: boolean,
): LeakageEstimate {
  const z = NINETY_PERCENT_SIGMAS;
  const milliamps = floor + excess;
  const down = Math.hypot(
    floor * (1 - Math.exp(-z * floorScatter)),
    excess * (1 - Math.exp(-z * scatter)),
    z * noise,
  );
  const up = Math.hypot(
    floor * (Math.exp(z * floorScatter) - 1),
    excess * (Math.exp(z * scatter + trend) - 1),
    z * noise,
  );
  return {
    milliamps: hundredths(milliamps),
    lowerMilliamps: hundredths(Math.max(milliamps - down, 0)),
    upperMilliamps: hundredths(milliamps + up),
    extrapolated,
  };
}

function pointAt(points: readonly CurvePoint[], index: number): CurvePoint {
  const point = points[index];
  if (point === undefined) throw new RangeError(`there is no point ${index} on the curve`);
  return point;
}
