/**
 * Leakage against the humidity of the film, as one unit was seen to give it: what it leaks at a
 * humidity that may not have been seen lately. No published law gives this; surfaces follow an
 * exponential over part of the range, so the curve is kept in the logarithm of the current and
 * may only rise with humidity (common practice, no source).
 */

/** What was seen in one bin of humidity. */
export interface CurvePoint {
  /** Middle of the bin, %RH. */
  readonly humidityPercent: number;
  readonly milliamps: number;
  /** Mean deviation of single readings from it, mA. */
  readonly spreadMilliamps: number;
  /** Time that was seen, hours; at most what the level remembers. */
  readonly hours: number;
}

/** A level with the limits between which nine of ten next wet or dry days should lie. */
export interface LeakageEstimate {
  readonly milliamps: number;
  readonly lowerMilliamps: number;
  readonly upperMilliamps: number;
  /** True when nothing so humid (or so dry) was seen and the unit's own slope was followed. */
  readonly extrapolated: boolean;
}

/** Half of the distance within which a bin stands for a humidity, %RH. */
const NEAR_PERCENT = 5;
/** Readings within two hours hang together: they count as one. */
const HOURS_A_VALUE = 2;
/** Standard deviations to a normal's 5 and 95 per cent points. */
const NINETY_PERCENT_SIGMAS = 1.645;
/** Mean deviation of a normal, times this, is its standard deviation: sqrt(pi / 2). */
const SIGMAS_A_MEAN_DEVIATION: number = Math.sqrt(Math.PI / 2);
/** From day to day a film differs by more than readings of one day do: a fifth, our estimate. */
const BETWEEN_DAYS_SHARE = 0.2;
/** A mean deviation above the level itself says no more than that anything may come. */
const MOST_SPREAD = 1;
/** Below this a sensor tells nothing from nothing, mA. */
const FLOOR_MILLIAMPS = 0.05;
/**
 * Slope of ln(current) against %RH. The steepest is a tenfold rise over 12 %RH: our bound, where
 * the unit's own slope is not known from two bins at least fifteen apart.
 */
const STEEPEST_PER_PERCENT: number = Math.log(10) / 12;
const LEAST_SPAN_PERCENT = 15;
const FURTHEST_PERCENT = 35;

/**
 * The leakage at a humidity.
 *
 * @param points in ascending humidity, each with `hours` above zero.
 * @param humidityPercent 0 to 100.
 * @returns null when nothing was seen, or only so far off that any value could be.
 */
export function leakageAt(
  points: readonly CurvePoint[],
  humidityPercent: number,
): LeakageEstimate | null {
  const levels = risingLevels(points);
  const first = points[0];
  const last = points.at(-1);
  if (first === undefined || last === undefined) return null;
  if (humidityPercent > last.humidityPercent + NEAR_PERCENT) {
    return above(points, levels, humidityPercent);
  }
  if (humidityPercent < first.humidityPercent - NEAR_PERCENT) {
    return below(first, levels[0] ?? 0, humidityPercent);
  }
  const seen = between(points, levels, humidityPercent);
  const factor = Math.exp(NINETY_PERCENT_SIGMAS * seen.sigma);
  return estimate(seen.logLevel, seen.logLevel - Math.log(factor), Math.log(factor), false);
}

interface SeenLevel {
  readonly logLevel: number;
  readonly sigma: number;
}

function between(
  points: readonly CurvePoint[],
  levels: readonly number[],
  humidityPercent: number,
): SeenLevel {
  let lower = 0;
  for (const [index, point] of points.entries()) {
    if (point.humidityPercent <= humidityPercent) lower = index;
  }
  const upper = Math.min(lower + 1, points.length - 1);
  const from = pointAt(points, lower);
  const to = pointAt(points, upper);
  const width = to.humidityPercent - from.humidityPercent;
  const share =
    width > 0 ? Math.min(Math.max((humidityPercent - from.humidityPercent) / width, 0), 1) : 0;
  const logFrom = levels[lower] ?? 0;
  const logTo = levels[upper] ?? 0;
  return {
    logLevel: logFrom + share * (logTo - logFrom),
    sigma: Math.max(share < 1 ? sigmaOf(from) : 0, share > 0 ? sigmaOf(to) : 0),
  };
}

/** Wetter than anything seen: along the unit's own slope, between flat and twice as steep. */
function above(
  points: readonly CurvePoint[],
  levels: readonly number[],
  humidityPercent: number,
): LeakageEstimate | null {
  const last = pointAt(points, points.length - 1);
  const distance = humidityPercent - last.humidityPercent;
  if (distance > FURTHEST_PERCENT) return null;
  const logLast = levels.at(-1) ?? 0;
  const slope = topSlope(points, levels);
  const likely = slope ?? STEEPEST_PER_PERCENT / 4;
  const steepest =
    slope === null ? STEEPEST_PER_PERCENT : Math.min(2 * slope + 0.02, STEEPEST_PER_PERCENT);
  const margin = NINETY_PERCENT_SIGMAS * sigmaOf(last);
  return estimate(
    logLast + likely * distance,
    logLast - margin,
    (steepest - likely) * distance + margin,
    true,
  );
}

/** Drier than anything seen: not more than there, and nothing is the least. */
function below(
  first: CurvePoint,
  logFirst: number,
  humidityPercent: number,
): LeakageEstimate | null {
  if (first.humidityPercent - humidityPercent > FURTHEST_PERCENT) return null;
  return estimate(
    logFirst,
    Math.log(FLOOR_MILLIAMPS),
    NINETY_PERCENT_SIGMAS * sigmaOf(first),
    true,
  );
}

/** Least squares over the wetter half of what was seen; null over too short a span. */
function topSlope(points: readonly CurvePoint[], levels: readonly number[]): number | null {
  const top = pointAt(points, points.length - 1).humidityPercent;
  let weight = 0;
  let meanX = 0;
  let meanY = 0;
  const used = points.flatMap((point, index) =>
    top - point.humidityPercent <= 2 * LEAST_SPAN_PERCENT
      ? [{ x: point.humidityPercent, y: levels[index] ?? 0, hours: point.hours }]
      : [],
  );
  for (const { x, y, hours } of used) {
    weight += hours;
    meanX += hours * x;
    meanY += hours * y;
  }
  const least = used[0];
  if (least === undefined || top - least.x < LEAST_SPAN_PERCENT) return null;
  meanX /= weight;
  meanY /= weight;
  let xx = 0;
  let xy = 0;
  for (const { x, y, hours } of used) {
    xx += hours * (x - meanX) ** 2;
    xy += hours * (x - meanX) * (y - meanY);
  }
  return Math.max(xy / xx, 0);
}

/** Standard deviation of ln(level) for the mean of another day. */
function sigmaOf({ milliamps, spreadMilliamps, hours }: CurvePoint): number {
  const relative = Math.min(spreadMilliamps / Math.max(milliamps, FLOOR_MILLIAMPS), MOST_SPREAD);
  const values = Math.max(hours / HOURS_A_VALUE, 1);
  const ofMean = (SIGMAS_A_MEAN_DEVIATION * relative) / Math.sqrt(values);
  return Math.hypot(ofMean, BETWEEN_DAYS_SHARE);
}

/** ln of the levels, made to rise with humidity: pooled where they do not (Ayer et al. 1955). */
export function risingLevels(points: readonly CurvePoint[]): readonly number[] {
  const pools: { log: number; hours: number; count: number }[] = [];
  for (const { milliamps, hours } of points) {
    pools.push({ log: Math.log(Math.max(milliamps, FLOOR_MILLIAMPS)), hours, count: 1 });
    for (;;) {
      const last = pools.at(-1);
      const before = pools.at(-2);
      if (last === undefined || before === undefined || before.log <= last.log) break;
      pools.pop();
      const total = before.hours + last.hours;
      before.log = (before.hours * before.log + last.hours * last.log) / total;
      before.hours = total;
      before.count += last.count;
    }
  }
  return pools.flatMap(({ log, count }) => new Array<number>(count).fill(log));
}

function estimate(
  logLevel: number,
  logLower: number,
  logRoom: number,
  extrapolated: boolean,
): LeakageEstimate {
  return {
    milliamps: rounded(Math.exp(logLevel)),
    lowerMilliamps: rounded(Math.exp(Math.min(logLower, logLevel))),
    upperMilliamps: rounded(Math.exp(logLevel + Math.max(logRoom, 0))),
    extrapolated,
  };
}

function rounded(milliamps: number): number {
  return Math.round(milliamps * 100) / 100;
}

function pointAt(points: readonly CurvePoint[], index: number): CurvePoint {
  const point = points[index];
  if (point === undefined) throw new RangeError(`there is no point ${index} on the curve`);
  return point;
}
