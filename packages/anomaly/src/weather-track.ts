import type { Reading } from '@lineside/readings';

/**
 * The most outdoor reports kept for a site: four weeks of five-minute reports, so that a node's
 * backlog after an outage still finds the weather of its own time. Older ones are forgotten.
 */
export const WEATHER_TRACK_MOST_REPORTS = 8192;

/**
 * A report counts for a reading only when it is at least this much older. Outdoor reports arrive
 * late by nature; with this lead an ordinary delay does not change what a reading was judged by.
 */
export const WEATHER_LEAD_MS = 600_000;

/** A report older than this no longer describes the weather; airports report every hour. */
export const WEATHER_STALE_MS = 10_800_000;

/** Reports that may pile up above the limit before the oldest are cut off in one go. */
const TRIM_SLACK = 512;

/**
 * Outdoor reports of one site in order of event time, bounded. Use `addWeather` and `weatherFor`.
 * It changes in place: one per site, kept outside the watches, rebuilt from stored reports.
 */
export class WeatherTrack {
  /** Ascending event time, one entry per time. */
  readonly reports: Reading[] = [];
  /** Where the last look-up ended: the next one is nearly always there or one further. */
  cursor = 0;
}

/** Index of the newest report at or before `atMs`, -1 when there is none. */
function indexAtOrBefore(reports: readonly Reading[], atMs: number): number {
  let low = 0;
  let high = reports.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    const report = reports[middle];
    if (report !== undefined && report.atMs <= atMs) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}

/**
 * Puts an outdoor report into the track, whatever order reports come in. A report of a time that
 * is there already only adds channels that it lacks: the first value wins, as in the store.
 *
 * @returns true when the track changed.
 */
export function addWeather(track: WeatherTrack, report: Reading): boolean {
  const { reports } = track;
  const index = indexAtOrBefore(reports, report.atMs);
  const same = reports[index];
  if (same !== undefined && same.atMs === report.atMs) {
    const channels = { ...report.channels, ...same.channels };
    if (Object.keys(channels).length === Object.keys(same.channels).length) return false;
    reports[index] = { ...same, channels };
    return true;
  }
  if (index === -1 && reports.length >= WEATHER_TRACK_MOST_REPORTS) return false;
  reports.splice(index + 1, 0, report);
  if (reports.length > WEATHER_TRACK_MOST_REPORTS + TRIM_SLACK) {
    reports.splice(0, reports.length - WEATHER_TRACK_MOST_REPORTS);
    track.cursor = 0;
  }
  return true;
}

/**
 * The report that a reading of `atMs` is judged by: the newest one that is at least ten minutes
 * and at most three hours older, or null.
 */
export function weatherFor(track: WeatherTrack, atMs: number): Reading | null {
  const { reports } = track;
  const latestMs = atMs - WEATHER_LEAD_MS;
  let index = track.cursor;
  const here = reports[index];
  if (here === undefined || here.atMs > latestMs) {
    index = indexAtOrBefore(reports, latestMs);
  } else if ((reports[index + 1]?.atMs ?? Infinity) <= latestMs) {
    index += 1;
    if ((reports[index + 1]?.atMs ?? Infinity) <= latestMs) {
      index = indexAtOrBefore(reports, latestMs);
    }
  }
  if (index < 0) return null;
  track.cursor = index;
  const report = reports[index];
  return report !== undefined && report.atMs >= atMs - WEATHER_STALE_MS ? report : null;
}
