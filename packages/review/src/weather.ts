import { compareText } from './place.ts';

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;
const QUARTER_MS = HOUR_MS / 4;

/** A quarter of an hour at an outdoor station; null where the station does not report it. */
export interface WeatherQuarter {
  readonly startMs: number;
  /** Rain within the quarter, mm. */
  readonly rainMillimetres: number | null;
  /** Snow within the quarter as water, mm. */
  readonly snowMillimetres: number | null;
  /** Highest reported wind, m/s. */
  readonly windMetresPerSecond: number | null;
  readonly lowestCelsius: number | null;
  readonly highestCelsius: number | null;
}

/** Quarters of one site's station, oldest first. */
export interface SiteWeather {
  readonly site: string;
  readonly quarters: readonly WeatherQuarter[];
}

/** Weather that makes a storm of a wetting. */
export const STORM_WEATHER = ['rain', 'wind', 'snow', 'melt'] as const;
export type StormWeatherKind = (typeof STORM_WEATHER)[number];

/** One reason in the weather, with its number. */
export interface StormWeather {
  readonly kind: StormWeatherKind;
  readonly site: string;
  /** mm of water for rain and snow, m/s for wind, degrees Celsius reached for a melt. */
  readonly amount: number;
}

/** Rain of 24 hours, mm. Common practice, no source. */
export const RAIN_OF_DAY_MILLIMETRES = 10;
/** Rain of one hour, mm: 'heavy' in the AMS Glossary of Meteorology (value from memory). */
export const RAIN_OF_HOUR_MILLIMETRES = 7.6;
/** Snow of 24 hours as water, mm: some 5 cm of snow. Common practice, no source. */
export const SNOW_OF_DAY_MILLIMETRES = 5;
/** Beaufort 8, gale, of the WMO scale (value from memory), m/s. */
export const GALE_METRES_PER_SECOND = 17.2;
/** Beaufort 6, strong breeze, of the WMO scale (from memory), m/s: drives rain or snow in. */
export const DRIVING_METRES_PER_SECOND = 10.8;
/** With such a wind this much rain or snow within 24 hours is enough, mm. No source. */
const DRIVEN_MILLIMETRES = 2;
/** Snow that lies: as water within `SNOW_LIES_MS` before, mm. No source. */
const LYING_SNOW_MILLIMETRES = 1;
const SNOW_LIES_MS: number = 3 * DAY_MS;
/** A thaw is told from a thermometer's error above this. No source. */
const THAW_CELSIUS = 1;

/** How far back `stormWeatherAt` looks. */
export const WEATHER_BEFORE_MS: number = SNOW_LIES_MS;

/** What in the weather of a site makes a storm at a time, looking back; most telling first. */
export function stormWeatherAt(weather: SiteWeather, atMs: number): readonly StormWeather[] {
  const { site } = weather;
  const recent = quartersBetween(weather.quarters, atMs - WEATHER_BEFORE_MS, atMs + QUARTER_MS);
  const day = quartersBetween(recent, atMs - DAY_MS, atMs + QUARTER_MS);
  const rain = total(day, 'rainMillimetres');
  const snow = total(day, 'snowMillimetres');
  const wind = highest(day, 'windMetresPerSecond');
  const reasons: StormWeather[] = [];
  const isDriven = wind >= DRIVING_METRES_PER_SECOND && Math.max(rain, snow) >= DRIVEN_MILLIMETRES;
  if (wind >= GALE_METRES_PER_SECOND || isDriven) {
    reasons.push({ kind: 'wind', site, amount: wind });
  }
  if (rain >= RAIN_OF_DAY_MILLIMETRES || heaviestHour(day) >= RAIN_OF_HOUR_MILLIMETRES) {
    reasons.push({ kind: 'rain', site, amount: rain });
  }
  if (snow >= SNOW_OF_DAY_MILLIMETRES) reasons.push({ kind: 'snow', site, amount: snow });
  const thaw = thawAfterFrost(recent, atMs - DAY_MS);
  if (thaw !== null && total(recent, 'snowMillimetres') >= LYING_SNOW_MILLIMETRES) {
    reasons.push({ kind: 'melt', site, amount: thaw });
  }
  return reasons;
}

/** Temperature reached within the last day after frost before it; null without both. */
function thawAfterFrost(recent: readonly WeatherQuarter[], sinceMs: number): number | null {
  let frozen = false;
  let reached: number | null = null;
  for (const { startMs, lowestCelsius, highestCelsius } of recent) {
    if (lowestCelsius !== null && lowestCelsius < 0) frozen = true;
    const thaws = frozen && highestCelsius !== null && highestCelsius >= THAW_CELSIUS;
    if (thaws && startMs >= sinceMs) reached = Math.max(reached ?? highestCelsius, highestCelsius);
  }
  return reached;
}

/** The part of a list of quarters with `fromMs` <= start < `toMs`. */
function quartersBetween(
  quarters: readonly WeatherQuarter[],
  fromMs: number,
  toMs: number,
): readonly WeatherQuarter[] {
  return quarters.slice(firstAtOrAfter(quarters, fromMs), firstAtOrAfter(quarters, toMs));
}

function firstAtOrAfter(quarters: readonly WeatherQuarter[], atMs: number): number {
  let low = 0;
  let high = quarters.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((quarters[middle]?.startMs ?? 0) < atMs) low = middle + 1;
    else high = middle;
  }
  return low;
}

type AmountName = 'rainMillimetres' | 'snowMillimetres' | 'windMetresPerSecond';

function total(quarters: readonly WeatherQuarter[], name: AmountName): number {
  return quarters.reduce((sum, quarter) => sum + (quarter[name] ?? 0), 0);
}

function highest(quarters: readonly WeatherQuarter[], name: AmountName): number {
  return quarters.reduce((most, quarter) => Math.max(most, quarter[name] ?? 0), 0);
}

/** The most rain of any hour, from quarter to quarter. */
function heaviestHour(quarters: readonly WeatherQuarter[]): number {
  let heaviest = 0;
  let sum = 0;
  let first = 0;
  for (const { startMs, rainMillimetres } of quarters) {
    sum += rainMillimetres ?? 0;
    for (; (quarters[first]?.startMs ?? startMs) <= startMs - HOUR_MS; first++) {
      sum -= quarters[first]?.rainMillimetres ?? 0;
    }
    heaviest = Math.max(heaviest, sum);
  }
  return heaviest;
}

/** One hour of a site's weather, for a drawing. */
export interface WeatherHour {
  readonly startMs: number;
  readonly rainMillimetres: number | null;
  readonly snowMillimetres: number | null;
  readonly windMetresPerSecond: number | null;
  readonly lowestCelsius: number | null;
  readonly highestCelsius: number | null;
}

/** Quarters added up to whole hours of UTC. */
export function weatherHours(
  { quarters }: SiteWeather,
  fromMs: number,
  toMs: number,
): readonly WeatherHour[] {
  const hours = new Map<number, WeatherHour>();
  for (const quarter of quartersBetween(quarters, fromMs, toMs)) {
    const startMs = Math.floor(quarter.startMs / HOUR_MS) * HOUR_MS;
    const before = hours.get(startMs);
    hours.set(startMs, before === undefined ? { ...quarter, startMs } : joined(before, quarter));
  }
  return [...hours.values()].sort((one, other) => one.startMs - other.startMs);
}

function joined(hour: WeatherHour, quarter: WeatherQuarter): WeatherHour {
  return {
    startMs: hour.startMs,
    rainMillimetres: plus(hour.rainMillimetres, quarter.rainMillimetres),
    snowMillimetres: plus(hour.snowMillimetres, quarter.snowMillimetres),
    windMetresPerSecond: most(hour.windMetresPerSecond, quarter.windMetresPerSecond),
    lowestCelsius: negated(most(negated(hour.lowestCelsius), negated(quarter.lowestCelsius))),
    highestCelsius: most(hour.highestCelsius, quarter.highestCelsius),
  };
}

function plus(one: number | null, other: number | null): number | null {
  return one === null ? other : one + (other ?? 0);
}

function most(one: number | null, other: number | null): number | null {
  if (one === null || other === null) return one ?? other;
  return Math.max(one, other);
}

function negated(value: number | null): number | null {
  return value === null ? null : -value;
}

/** The station that tells most of a span: the most rain and snow, then the most wind, then by id. */
export function mostTelling(
  weather: readonly SiteWeather[],
  fromMs: number,
  toMs: number,
): SiteWeather | null {
  const told = weather
    .map((one) => {
      const within = quartersBetween(one.quarters, fromMs, toMs);
      const water = total(within, 'rainMillimetres') + total(within, 'snowMillimetres');
      return { one, count: within.length, water, wind: highest(within, 'windMetresPerSecond') };
    })
    .filter(({ count }) => count > 0)
    .sort((a, b) => b.water - a.water || b.wind - a.wind || compareText(a.one.site, b.one.site));
  return told[0]?.one ?? null;
}

/** Totals of a span at one station. */
export interface WeatherSummary {
  readonly site: string;
  readonly rainMillimetres: number | null;
  readonly snowMillimetres: number | null;
  readonly highestWindMetresPerSecond: number | null;
  readonly lowestCelsius: number | null;
  readonly highestCelsius: number | null;
}

/** Totals and extremes of a station within a span. */
export function weatherSummary(
  weather: SiteWeather,
  fromMs: number,
  toMs: number,
): WeatherSummary | null {
  const [first, ...rest] = quartersBetween(weather.quarters, fromMs, toMs);
  if (first === undefined) return null;
  const all = rest.reduce<WeatherHour>(joined, first);
  return {
    site: weather.site,
    rainMillimetres: all.rainMillimetres,
    snowMillimetres: all.snowMillimetres,
    highestWindMetresPerSecond: all.windMetresPerSecond,
    lowestCelsius: all.lowestCelsius,
    highestCelsius: all.highestCelsius,
  };
}
