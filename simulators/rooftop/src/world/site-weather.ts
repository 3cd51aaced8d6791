import { RecordedWeather } from './recorded-weather.ts';
import { solarHour } from './sun.ts';
import {
  emptyWeather,
  type MutableWeather,
  WEATHER_STEP_MS,
  type Weather,
  type WeatherSource,
} from './weather.ts';
import { WeatherDays } from './weather-days.ts';
import { WeatherMaker, type WeatherPlace } from './weather-maker.ts';

/**
 * A site's weather by time, of its climate or recorded. It is made a minute at a time from the
 * start of the world and kept, so that units may ask in any order and all see the same.
 */
export class SiteWeather implements WeatherSource {
  readonly site: string;
  private readonly place: WeatherPlace;
  private readonly source: WeatherSource;
  private readonly kept: WeatherDays;

  constructor(seed: number, place: WeatherPlace, startMs: number) {
    this.site = place.site;
    this.place = place;
    this.kept = new WeatherDays(Math.floor(startMs / WEATHER_STEP_MS) * WEATHER_STEP_MS);
    this.source =
      place.recorded === undefined
        ? new WeatherMaker(seed, place)
        : new RecordedWeather(place.recorded, place);
  }

  /** The weather of the minute that holds `atMs`; RangeError before what is kept. */
  at(atMs: number): Weather {
    const weather = emptyWeather();
    this.fill(atMs, weather);
    return weather;
  }

  /** As `at`, written into an object of the caller's. */
  fill(atMs: number, into: MutableWeather): void {
    while (this.kept.nextMs <= atMs) this.kept.add(this.source.at(this.kept.nextMs));
    if (!this.kept.fill(atMs, into)) {
      throw new RangeError(`weather of ${this.site} at ${atMs} is from before what is kept`);
    }
  }

  /** 0 to 24, 12 when the sun is highest. */
  solarHourAt(atMs: number): number {
    return solarHour(atMs, this.place.longitudeDegrees);
  }

  /** Lets go of whole days before `atMs`, so that a world may live for months. */
  forgetBefore(atMs: number): void {
    this.kept.forgetBefore(atMs);
  }
}
