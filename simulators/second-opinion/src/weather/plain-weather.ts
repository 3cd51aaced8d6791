import { Chance } from '../chance.ts';
import { approach, Wander } from '../wander.ts';
import type { PlainClimate } from './climates.ts';
import { magnusPascals } from './magnus.ts';

/** The weather at one moment. */
export interface PlainAir {
  celsius: number;
  vapourPascals: number;
  rainMillimetresPerHour: number;
  snowMillimetresPerHour: number;
  windMetresPerSecond: number;
  /** 0 clear to 1 overcast. */
  cloud: number;
  /** 0 at night to about 1 at a clear noon in summer. */
  sun: number;
}

const GRID_MS = 300_000;
const HOUR_MS = 3_600_000;
const DAY_MS = 86_400_000;
const WARMEST_DAY = 200;
const WARMEST_HOUR = 15;
/** Local time is five hours behind, as at 75 degrees west. */
const LOCAL_SHIFT_MS: number = -5 * HOUR_MS;
const FIELDS = 7;

/** A run's weather, drawn once on a grid of five minutes, and read between its points. */
export class PlainWeather {
  private readonly startMs: number;
  private readonly points: number;
  private readonly grid: Float64Array;

  constructor(
    climate: PlainClimate,
    seed: number,
    span: { readonly startMs: number; readonly endMs: number },
    seasonDayAtStart: number,
  ) {
    this.startMs = span.startMs;
    this.points = Math.ceil((span.endMs - span.startMs) / GRID_MS) + 2;
    this.grid = new Float64Array(this.points * FIELDS);
    const maker = new WeatherMaker(climate, new Chance(seed, 'weather'));
    for (let point = 0; point < this.points; point += 1) {
      const atMs = span.startMs + point * GRID_MS;
      const day = seasonDayAtStart + (point * GRID_MS) / DAY_MS;
      const air = maker.step(day, localHour(atMs));
      const at = point * FIELDS;
      this.grid[at] = air.celsius;
      this.grid[at + 1] = air.vapourPascals;
      this.grid[at + 2] = air.rainMillimetresPerHour;
      this.grid[at + 3] = air.snowMillimetresPerHour;
      this.grid[at + 4] = air.windMetresPerSecond;
      this.grid[at + 5] = air.cloud;
      this.grid[at + 6] = air.sun;
    }
  }

  /** Fills `into` with the weather of a moment within the run. */
  read(atMs: number, into: PlainAir): void {
    const place = Math.min(this.points - 1.001, Math.max(0, (atMs - this.startMs) / GRID_MS));
    const point = Math.floor(place);
    const share = place - point;
    const at = point * FIELDS;
    into.celsius = this.between(at, share);
    into.vapourPascals = this.between(at + 1, share);
    into.rainMillimetresPerHour = this.between(at + 2, share);
    into.snowMillimetresPerHour = this.between(at + 3, share);
    into.windMetresPerSecond = this.between(at + 4, share);
    into.cloud = this.between(at + 5, share);
    into.sun = this.between(at + 6, share);
  }

  private between(at: number, share: number): number {
    const here = this.grid[at] ?? 0;
    return here + share * ((this.grid[at + FIELDS] ?? here) - here);
  }
}

/** Hour of the local day, 0 to 24. */
export function localHour(atMs: number): number {
  const ms = (((atMs + LOCAL_SHIFT_MS) % DAY_MS) + DAY_MS) % DAY_MS;
  return ms / HOUR_MS;
}

/** Weather nowhere yet. */
export function noAir(): PlainAir {
  return {
    celsius: 0,
    vapourPascals: 0,
    rainMillimetresPerHour: 0,
    snowMillimetresPerHour: 0,
    windMetresPerSecond: 0,
    cloud: 0,
    sun: 0,
  };
}

class WeatherMaker {
  private readonly climate: PlainClimate;
  private readonly chance: Chance;
  private readonly gusty: Wander;
  private readonly cloudy: Wander;
  private readonly showery: Wander;
  private readonly flicker: Wander;
  private massKelvin: number;
  private aimKelvin: number;
  private depressionKelvin: number;
  private aimDepressionKelvin: number;
  private massLeftMs = 0;
  private wet = false;
  private storm = 0;
  private isStorm = false;
  private dampened = 0;
  private hourLeftMs = 0;

  constructor(climate: PlainClimate, chance: Chance) {
    this.climate = climate;
    this.chance = chance;
    this.gusty = new Wander(chance, 6 * HOUR_MS);
    this.cloudy = new Wander(chance, 14 * HOUR_MS);
    this.showery = new Wander(chance, HOUR_MS / 2);
    this.flicker = new Wander(chance, 2 * HOUR_MS);
    this.massKelvin = climate.airMassKelvin * chance.normal();
    this.aimKelvin = this.massKelvin;
    this.depressionKelvin = climate.depressionKelvin;
    this.aimDepressionKelvin = climate.depressionKelvin;
  }

  step(day: number, hour: number): PlainAir {
    const { climate } = this;
    const season = Math.cos((2 * Math.PI * (day - WARMEST_DAY)) / 365);
    this.changeAirMass();
    this.changeWetness();
    const bias = climate.cloudiness + (this.wet ? 3 : 0);
    const cloud = 1 / (1 + Math.exp(-(1.7 * this.cloudy.step(GRID_MS) + bias)));
    const daily = climate.dayKelvin * (1 - 0.65 * cloud);
    const dailyMean = climate.meanCelsius + climate.yearKelvin * season + this.massKelvin;
    const wave = Math.cos((2 * Math.PI * (hour - WARMEST_HOUR)) / 24);
    const celsius = dailyMean + daily * wave + 0.4 * this.flicker.step(GRID_MS);
    const dewAim = dailyMean - this.depressionKelvin;
    const damped = dewAim + this.dampened * Math.max(0, celsius - 0.8 - dewAim);
    const dewPoint = Math.min(damped, celsius - 0.15);
    const gust = Math.exp(0.55 * this.gusty.step(GRID_MS) - 0.15) * (1 + 1.6 * this.storm);
    const fall = this.wet
      ? climate.rainMillimetresPerHour * Math.exp(0.8 * this.showery.step(GRID_MS) - 0.3)
      : 0;
    const height = Math.cos((2 * Math.PI * (hour - 12)) / 24) + 0.25 * season - 0.05;
    return {
      celsius,
      vapourPascals: magnusPascals(dewPoint),
      rainMillimetresPerHour: celsius > 0.5 ? fall : 0,
      snowMillimetresPerHour: celsius > 0.5 ? 0 : fall,
      windMetresPerSecond: climate.windMetresPerSecond * gust,
      cloud,
      sun: Math.max(0, height) * (1 - 0.75 * cloud),
    };
  }

  private changeAirMass(): void {
    const { chance, climate } = this;
    this.massLeftMs -= GRID_MS;
    if (this.massLeftMs <= 0) {
      this.massLeftMs = chance.waiting(3.5 * DAY_MS);
      this.aimKelvin = climate.airMassKelvin * chance.normal();
      const spread = climate.depressionSpreadKelvin * chance.normal();
      this.aimDepressionKelvin = Math.max(0.5, climate.depressionKelvin + spread);
    }
    const share = approach(GRID_MS, 5 * HOUR_MS);
    this.massKelvin += share * (this.aimKelvin - this.massKelvin);
    this.depressionKelvin += share * (this.aimDepressionKelvin - this.depressionKelvin);
  }

  /** Wet and dry hours are a chain: each hour depends on the one before it only. */
  private changeWetness(): void {
    const { chance, climate } = this;
    this.hourLeftMs -= GRID_MS;
    if (this.hourLeftMs <= 0) {
      this.hourLeftMs += HOUR_MS;
      const cloudFactor = Math.exp(0.8 * this.cloudy.value) / 1.38;
      const changes = this.wet
        ? 1 / climate.wetSpellHours
        : (climate.wetSpellsPerDay / 24) * cloudFactor;
      if (chance.happens(changes)) {
        this.wet = !this.wet;
        this.isStorm = this.wet && chance.happens(climate.stormShare);
      }
    }
    this.storm += approach(GRID_MS, HOUR_MS) * ((this.isStorm ? 1 : 0) - this.storm);
    this.dampened += approach(GRID_MS, 2.5 * HOUR_MS) * ((this.wet ? 1 : 0) - this.dampened);
  }
}
