const MS_PER_DAY = 86_400_000;
const MS_PER_HOUR = 3_600_000;
const DAYS_PER_YEAR = 365.25;
/** Tilt of the earth's axis. */
const TILT_RADIANS: number = (23.44 * Math.PI) / 180;

/** Where a moment lies in the year of this world and in the sun's day of a place. */
export interface SunClock {
  /** 0 to 365.25; the winter solstice of the north is near 355. */
  readonly dayOfYear: number;
  /** Solar hour, 12 when the sun is highest. */
  readonly solarHour: number;
}

/**
 * Solar hour from the longitude; the equation of time (a quarter of an hour) is left out.
 */
export function sunClock(
  atMs: number,
  longitudeDegrees: number,
  nowMs: number,
  seasonDayAtNow: number,
): SunClock {
  const day = seasonDayAtNow + (atMs - nowMs) / MS_PER_DAY;
  return {
    dayOfYear: ((day % DAYS_PER_YEAR) + DAYS_PER_YEAR) % DAYS_PER_YEAR,
    solarHour: solarHour(atMs, longitudeDegrees),
  };
}

/** 0 to 24, 12 when the sun is highest. */
export function solarHour(atMs: number, longitudeDegrees: number): number {
  const hour = (atMs / MS_PER_HOUR + longitudeDegrees / 15) % 24;
  return (hour + 24) % 24;
}

/**
 * Sine of the sun's height, 0 at night. Source: spherical astronomy, with the declination as a
 * sine over the year; from memory, good to about one degree.
 */
export function sineOfSunHeight(clock: SunClock, latitudeDegrees: number): number {
  const declination =
    -TILT_RADIANS * Math.cos((2 * Math.PI * (clock.dayOfYear + 10)) / DAYS_PER_YEAR);
  const hourAngle = ((clock.solarHour - 12) * Math.PI) / 12;
  const latitude = (latitudeDegrees * Math.PI) / 180;
  const sine =
    Math.sin(latitude) * Math.sin(declination) +
    Math.cos(latitude) * Math.cos(declination) * Math.cos(hourAngle);
  return Math.max(0, sine);
}
