import type { WettingEpisode } from '@lineside/anomaly';
import { saturationOverWaterPascals } from '@lineside/physics';
import type { ChannelValues } from '@lineside/readings';
import {
  type RandomStream,
  randomStream,
  type SurfaceMoisture,
  type UnitTruth,
  type UnitWorld,
} from '@lineside/rooftop';
import { WettingRule } from './wetting-rule.ts';

/** Errors of the rooftop's node that nobody can know: noise, and the creep of the humidity. */
const HUMIDITY_NOISE_PERCENT = 0.25;
const TEMPERATURE_NOISE_KELVIN = 0.05;
const CREEP_PERCENT = 0.5;
const CREEP_SECONDS = 40 * 3600;

/**
 * The world's rule for wettings on what the sensors say. The film of water, the dirt's wetting
 * point and, without a plate sensor, the plate's temperature are known.
 */
export class WettingWatch {
  private readonly world: UnitWorld;
  private readonly noise: RandomStream;
  private readonly sent: WettingRule;
  private readonly offsetsKnown: WettingRule;
  private creep: number;
  private lastMs: number;

  constructor(world: UnitWorld, seed: number, startMs: number) {
    const points = world.script.faults.flatMap((fault) =>
      'wettingPointPercent' in fault ? [fault.wettingPointPercent] : [],
    );
    const point = points.length > 0 ? Math.min(...points) : undefined;
    this.world = world;
    this.lastMs = startMs;
    this.noise = randomStream(seed, `${world.unit.site}/${world.unit.id}/ideal-air`);
    this.creep = CREEP_PERCENT * this.noise.gauss();
    this.sent = new WettingRule(startMs, point);
    this.offsetsKnown = new WettingRule(startMs, point);
  }

  reading(atMs: number, channels: ChannelValues, { compartment }: UnitTruth): void {
    const seconds = (atMs - this.lastMs) / 1000;
    // A clock that was set back tells of no new moment.
    if (seconds < 0) return;
    this.lastMs = atMs;
    const { airCelsius, plateCelsius, vapourPascals } = compartment;
    const film = compartment.filmGramsPerSquareMetre - compartment.frozenGramsPerSquareMetre;
    const { rh, t, tp } = channels;
    if (rh === undefined || t === undefined) return;
    this.sent.step(surface(rh, t, tp ?? plateCelsius, film), atMs);
    const error = (deviation: number): number => deviation * this.noise.gauss();
    this.stepCreep(seconds);
    const humidity = (100 * vapourPascals) / saturationOverWaterPascals(airCelsius);
    const known = surface(
      humidity + this.creep + error(HUMIDITY_NOISE_PERCENT),
      airCelsius + error(TEMPERATURE_NOISE_KELVIN),
      this.world.fit.plateSensor ? plateCelsius + error(TEMPERATURE_NOISE_KELVIN) : plateCelsius,
      film,
    );
    this.offsetsKnown.step(known, atMs);
  }

  /** By the values as they were sent, and by values with no error but noise and creep. */
  episodes(): {
    readonly sent: readonly WettingEpisode[];
    readonly offsetsKnown: readonly WettingEpisode[];
  } {
    return { sent: this.sent.episodes(), offsetsKnown: this.offsetsKnown.episodes() };
  }

  private stepCreep(seconds: number): void {
    const keep = Math.exp(-seconds / CREEP_SECONDS);
    const kick = CREEP_PERCENT * Math.sqrt(1 - keep * keep);
    this.creep = keep * this.creep + kick * this.noise.gauss();
  }
}

function surface(
  humidityPercent: number,
  airCelsius: number,
  plateCelsius: number,
  filmGramsPerSquareMetre: number,
): SurfaceMoisture {
  const air = saturationOverWaterPascals(airCelsius);
  const plate = saturationOverWaterPascals(plateCelsius);
  const atPlate = Math.min(100, Math.max(0, (humidityPercent * air) / plate));
  return { humidityPercent: atPlate, filmGramsPerSquareMetre, celsius: plateCelsius };
}
