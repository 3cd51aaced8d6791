/** The outdoors over one minute, as it is; an outdoor station adds its own errors. */
export interface Weather {
  readonly atMs: number;
  readonly celsius: number;
  readonly humidityPercent: number;
  readonly vapourPascals: number;
  readonly windMetresPerSecond: number;
  readonly windFromDegrees: number;
  /** Water that fell within the minute, mm. */
  readonly rainMm: number;
  readonly snowMm: number;
  readonly pressurePascals: number;
  /** 0 clear to 1 overcast. */
  readonly cloudShare: number;
  /** Temperature that the sky radiates with, C. */
  readonly skyCelsius: number;
  /** Sunshine on a level surface, W/m2. */
  readonly sunWattsPerSquareMetre: number;
}

/** One object that is written anew for each minute, where a fresh one would cost too much. */
export type MutableWeather = { -readonly [Field in keyof Weather]: Weather[Field] };

/** Where weather comes from: made by a climate or recorded by a real station. */
export interface WeatherSource {
  /** The weather of the minute that begins at `atMs`. */
  at(atMs: number): Weather;
}

export const WEATHER_STEP_MS = 60_000;
/** A clear sky radiates as if it were so much colder than the air (common practice, no source). */
const CLEAR_SKY_KELVIN = 20;
/** Half of the water falls as snow at this temperature, none 0.8 K above (common practice). */
const HALF_SNOW_CELSIUS = 1;
const SNOW_RANGE_KELVIN = 1.6;
/** Sun straight above a clear sky, and the share that full cloud keeps back (common practice). */
const HIGH_SUN_WATTS = 950;
const CLOUD_SHADE = 0.75;

/** Share of the precipitation that falls as snow: 1 snow, between wet snow or sleet, 0 rain. */
export function snowShareAt(celsius: number): number {
  return Math.min(1, Math.max(0, 0.5 + (HALF_SNOW_CELSIUS - celsius) / SNOW_RANGE_KELVIN));
}

export function skyCelsiusAt(celsius: number, cloudShare: number): number {
  return celsius - CLEAR_SKY_KELVIN * (1 - 0.9 * cloudShare);
}

/** W/m2 on a level surface. @param sunHeight sine of the sun's height, 0 at night. */
export function sunWattsAt(sunHeight: number, cloudShare: number): number {
  return HIGH_SUN_WATTS * sunHeight * (1 - CLOUD_SHADE * cloudShare);
}

export function emptyWeather(): MutableWeather {
  return {
    atMs: 0,
    celsius: 0,
    humidityPercent: 0,
    vapourPascals: 0,
    windMetresPerSecond: 0,
    windFromDegrees: 0,
    rainMm: 0,
    snowMm: 0,
    pressurePascals: 0,
    cloudShare: 0,
    skyCelsius: 0,
    sunWattsPerSquareMetre: 0,
  };
}
