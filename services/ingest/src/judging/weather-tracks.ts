import { addWeather, WEATHER_STALE_MS, WeatherTrack } from '@lineside/anomaly';
import type { Reading } from '@lineside/readings';

interface SiteTrack {
  readonly track: WeatherTrack;
  /** Every stored report from this event time (ms) on is in the track. */
  completeFromMs: number;
}

/** The newest outdoor reports of all sites, as far back as a track reaches. */
export class WeatherTracks {
  readonly #sites = new Map<string, SiteTrack>();

  of(site: string): WeatherTrack {
    return this.#of(site).track;
  }

  /** Takes over stored reports; `completeFromMs` says from when on none is missing. */
  fill(site: string, reports: readonly Reading[], completeFromMs: number): void {
    this.#of(site).completeFromMs = completeFromMs;
    for (const report of reports) this.add(report);
  }

  add(report: Reading): void {
    const entry = this.#of(report.site);
    const { reports } = entry.track;
    const oldestMs = reports[0]?.atMs ?? report.atMs;
    const before = reports.length;
    const changed = addWeather(entry.track, report);
    const isRefused = !changed && report.atMs < oldestMs;
    const isTrimmed = reports.length < before;
    if (isRefused || isTrimmed) {
      entry.completeFromMs = Math.max(entry.completeFromMs, reports[0]?.atMs ?? oldestMs);
    }
  }

  /** Whether the report that a reading of `atMs` is judged by can be told from the track. */
  covers(site: string, atMs: number): boolean {
    return atMs - WEATHER_STALE_MS >= this.#of(site).completeFromMs;
  }

  /** Whether a report of that time with at least those channels is there already. */
  has(report: Reading): boolean {
    const { reports } = this.#of(report.site).track;
    const same = reports.findLast(({ atMs }) => atMs <= report.atMs);
    return (
      same?.atMs === report.atMs &&
      Object.keys(report.channels).every((name) => name in same.channels)
    );
  }

  #of(site: string): SiteTrack {
    let entry = this.#sites.get(site);
    if (entry === undefined) {
      entry = { track: new WeatherTrack(), completeFromMs: Number.NEGATIVE_INFINITY };
      this.#sites.set(site, entry);
    }
    return entry;
  }
}
