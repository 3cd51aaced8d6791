import { addWeather, WeatherTrack } from '@lineside/anomaly';
import type { Reading } from '@lineside/readings';

/** Outdoor reports of all sites. */
export class WeatherTracks {
  readonly #tracks = new Map<string, WeatherTrack>();

  of(site: string): WeatherTrack {
    let track = this.#tracks.get(site);
    if (track === undefined) {
      track = new WeatherTrack();
      this.#tracks.set(site, track);
    }
    return track;
  }

  add(report: Reading): void {
    addWeather(this.of(report.site), report);
  }
}
