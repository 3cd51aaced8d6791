import type { ChannelValues } from '@lineside/readings';
import { clamp } from './drift.ts';
import { type RandomStream, randomStream } from './random.ts';
import type { SiteWeather } from './site-weather.ts';
import type { SimulatedReading } from './unit-world.ts';
import { WEATHER_STEP_MS } from './weather.ts';

/** An outdoor station reports so often; its rain and snow are the sums since the last report. */
export const STATION_INTERVAL_MS = 300_000;

/** A site's outdoor station with the errors of its sensors. */
export class Station {
  readonly site: string;
  private readonly weather: SiteWeather;
  private readonly random: RandomStream;
  private readonly humidityOffset: number;
  private readonly airOffset: number;
  private lastMs: number;

  constructor(weather: SiteWeather, seed: number, startMs: number) {
    const build = randomStream(seed, `${weather.site}/station/build`);
    this.site = weather.site;
    this.weather = weather;
    this.random = randomStream(seed, `${weather.site}/station/noise`);
    this.humidityOffset = build.between(-1, 1);
    this.airOffset = build.between(-0.15, 0.15);
    this.lastMs = startMs;
  }

  /** Moves on to `atMs`, later than the last step, and reports. */
  step(atMs: number): SimulatedReading {
    const now = this.weather.at(atMs);
    let rainMm = 0;
    let snowMm = 0;
    const firstMs = Math.floor(this.lastMs / WEATHER_STEP_MS) * WEATHER_STEP_MS + WEATHER_STEP_MS;
    for (let minuteMs = firstMs; minuteMs <= atMs; minuteMs += WEATHER_STEP_MS) {
      const minute = this.weather.at(minuteMs);
      rainMm += minute.rainMm;
      snowMm += minute.snowMm;
    }
    this.lastMs = atMs;
    const humidity = now.humidityPercent + this.humidityOffset + 0.25 * this.random.gauss();
    const celsius = now.celsius + this.airOffset + 0.05 * this.random.gauss();
    const channels: ChannelValues = {
      rh: rounded(clamp(humidity, 0, 100), 10),
      t: rounded(celsius, 100),
      wind: rounded(now.windMetresPerSecond, 10),
      winddir: Math.round(now.windFromDegrees) % 360,
      rain: rounded(rainMm, 1000),
      snow: rounded(snowMm, 1000),
      p: rounded(now.pressurePascals + 8 * this.random.gauss(), 0.1),
    };
    return { atMs, channels };
  }
}

function rounded(value: number, perUnit: number): number {
  return Math.round(value * perUnit) / perUnit;
}
