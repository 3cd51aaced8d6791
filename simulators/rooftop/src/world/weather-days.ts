import { type MutableWeather, WEATHER_STEP_MS, type Weather } from './weather.ts';

/** What is kept of a minute, in this order; its time follows from its place. */
const KEPT = 11;
const MINUTES_PER_DAY = 1440;

/**
 * Minutes of weather, kept as plain numbers, a day a block: a year of a site takes 46 MB, a
 * quarter of what an object a minute would.
 */
export class WeatherDays {
  private readonly days: Float64Array[] = [];
  private firstMs: number;
  private count = 0;

  constructor(firstMs: number) {
    this.firstMs = firstMs;
  }

  /** The minute that is to be added next, ms. */
  get nextMs(): number {
    return this.firstMs + this.count * WEATHER_STEP_MS;
  }

  add(weather: Weather): void {
    const place = this.count % MINUTES_PER_DAY;
    if (place === 0) this.days.push(new Float64Array(MINUTES_PER_DAY * KEPT));
    const day = this.days[this.days.length - 1];
    if (day === undefined) return;
    const from = place * KEPT;
    day[from] = weather.celsius;
    day[from + 1] = weather.humidityPercent;
    day[from + 2] = weather.vapourPascals;
    day[from + 3] = weather.windMetresPerSecond;
    day[from + 4] = weather.windFromDegrees;
    day[from + 5] = weather.rainMm;
    day[from + 6] = weather.snowMm;
    day[from + 7] = weather.pressurePascals;
    day[from + 8] = weather.cloudShare;
    day[from + 9] = weather.skyCelsius;
    day[from + 10] = weather.sunWattsPerSquareMetre;
    this.count += 1;
  }

  /** Writes the minute that holds `atMs`; false when it is not kept. */
  fill(atMs: number, into: MutableWeather): boolean {
    const index = Math.floor((atMs - this.firstMs) / WEATHER_STEP_MS);
    if (index < 0 || index >= this.count) return false;
    const day = this.days[Math.floor(index / MINUTES_PER_DAY)];
    if (day === undefined) return false;
    const from = (index % MINUTES_PER_DAY) * KEPT;
    into.atMs = this.firstMs + index * WEATHER_STEP_MS;
    into.celsius = day[from] ?? 0;
    into.humidityPercent = day[from + 1] ?? 0;
    into.vapourPascals = day[from + 2] ?? 0;
    into.windMetresPerSecond = day[from + 3] ?? 0;
    into.windFromDegrees = day[from + 4] ?? 0;
    into.rainMm = day[from + 5] ?? 0;
    into.snowMm = day[from + 6] ?? 0;
    into.pressurePascals = day[from + 7] ?? 0;
    into.cloudShare = day[from + 8] ?? 0;
    into.skyCelsius = day[from + 9] ?? 0;
    into.sunWattsPerSquareMetre = day[from + 10] ?? 0;
    return true;
  }

  /** Lets go of the whole days that end before `atMs`. */
  forgetBefore(atMs: number): void {
    const minutes = Math.floor((atMs - this.firstMs) / WEATHER_STEP_MS);
    const whole = Math.min(
      Math.floor(minutes / MINUTES_PER_DAY),
      Math.floor(this.count / MINUTES_PER_DAY),
    );
    if (whole <= 0) return;
    this.days.splice(0, whole);
    this.firstMs += whole * MINUTES_PER_DAY * WEATHER_STEP_MS;
    this.count -= whole * MINUTES_PER_DAY;
  }
}
