import { sunClock } from './sun.ts';
import { WEATHER_STEP_MS, type Weather, WeatherMaker, type WeatherPlace } from './weather.ts';

/**
 * A site's weather by time. It is made a minute at a time from the start of the world and kept, so
 * that units may ask in any order and all see the same.
 */
export class SiteWeather {
  readonly site: string;
  private readonly place: WeatherPlace;
  private readonly maker: WeatherMaker;
  private readonly kept: Weather[] = [];
  private firstMs: number;

  constructor(seed: number, place: WeatherPlace, startMs: number) {
    this.site = place.site;
    this.place = place;
    this.maker = new WeatherMaker(seed, place);
    this.firstMs = Math.floor(startMs / WEATHER_STEP_MS) * WEATHER_STEP_MS;
  }

  /** The weather of the minute that holds `atMs`; RangeError before what is kept. */
  at(atMs: number): Weather {
    const index = Math.floor((atMs - this.firstMs) / WEATHER_STEP_MS);
    while (index >= this.kept.length) {
      this.kept.push(this.maker.step(this.firstMs + this.kept.length * WEATHER_STEP_MS));
    }
    const weather = this.kept[index];
    if (weather === undefined) {
      throw new RangeError(`weather of ${this.site} at ${atMs} is from before what is kept`);
    }
    return weather;
  }

  solarHourAt(atMs: number): number {
    const { longitudeDegrees, nowMs, seasonDayAtNow } = this.place;
    return sunClock(atMs, longitudeDegrees, nowMs, seasonDayAtNow).solarHour;
  }

  /** Lets go of minutes before `atMs`, so that a world may live for months. */
  forgetBefore(atMs: number): void {
    const count = Math.floor((atMs - this.firstMs) / WEATHER_STEP_MS);
    if (count <= 0) return;
    const gone = this.kept.splice(0, Math.min(count, this.kept.length)).length;
    this.firstMs += gone * WEATHER_STEP_MS;
  }
}
