import type { RoofDanger } from '@lineside/paging';
import type { Reading } from '@lineside/readings';

/** Wind from which nobody is asked onto a roof; common practice, no source. */
const WIND_METRES_PER_SECOND = 14;

/** Older weather says nothing of now. */
const WEATHER_HOLDS_FOR_MS = 2 * 60 * 60_000;

/**
 * What keeps people off a site's roofs, by the newest report of its outdoor station: wind of 14 m/s
 * and more, or rain or snow at freezing. Lightning is not measured by any channel, so it is never
 * told; no danger told is no promise that there is none.
 *
 * @param nowMs by the clock on the wall.
 */
export function roofDangerOf(weather: Reading | null, nowMs: number): RoofDanger | null {
  if (weather === null || nowMs - weather.atMs > WEATHER_HOLDS_FOR_MS) return null;
  const { wind, t, rain, snow } = weather.channels;
  if (wind !== undefined && wind >= WIND_METRES_PER_SECOND) return 'wind';
  const isWet = (rain ?? 0) > 0 || (snow ?? 0) > 0;
  return t !== undefined && t <= 0 && isWet ? 'ice' : null;
}
