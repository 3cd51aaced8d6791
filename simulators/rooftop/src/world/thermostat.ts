import { clamp } from './drift.ts';
import type { RandomStream } from './random.ts';
import type { Weather } from './weather.ts';

/** Shortest time that a compressor stays on or off (common practice, no source). */
const SHORTEST_STAGE_SECONDS = 240;
/** How fast the served space drifts under full load with nothing running, K/h. */
const FULL_LOAD_KELVIN_PER_HOUR = 7;
/** All stages together can do so much more than the full load. */
const OVERSIZE = 1.35;
const STAGE_STEP_KELVIN = 0.5;
const STAGE_BAND_KELVIN = 0.7;

/**
 * What the served space asks for. Stages heat by the same compressors (a heat pump) unless the unit
 * has electric heaters.
 */
export class Thermostat {
  /** Stages on now. */
  readonly stages: boolean[];
  /** Share of the design load, 0 to about 1.2. */
  demand = 0;
  occupied = false;
  /** The space asks for heat rather than for cold. */
  heating = false;
  /** Some stage is on. */
  calling = false;
  private onCount = 0;
  private readonly sinceSeconds: number[];
  private readonly opensAtHour: number;
  private readonly closesAtHour: number;
  private readonly gains: number;
  private driftKelvin = 0;

  constructor(stageCount: number, random: RandomStream) {
    this.stages = Array.from({ length: stageCount }, () => false);
    this.sinceSeconds = this.stages.map(() => SHORTEST_STAGE_SECONDS);
    this.opensAtHour = random.between(5, 8);
    this.closesAtHour = random.between(19, 23);
    this.gains = random.between(0.12, 0.35);
    this.driftKelvin = random.between(-0.3, 0.5);
  }

  step(weather: Weather, solarHour: number, powered: boolean, stepSeconds: number): void {
    this.occupied = solarHour >= this.opensAtHour && solarHour < this.closesAtHour;
    const cooling = clamp((weather.celsius - 11) / 20, 0, 1.1) + (this.occupied ? this.gains : 0);
    const heating = clamp((9 - weather.celsius) / 26, 0, 1.1);
    this.demand = Math.max(cooling, heating);
    this.heating = heating > cooling;
    const capacity = this.stages.length === 0 ? 0 : (OVERSIZE * this.onCount) / this.stages.length;
    const change = FULL_LOAD_KELVIN_PER_HOUR * (this.demand - capacity) * (stepSeconds / 3600);
    this.driftKelvin = clamp(this.driftKelvin + change, -2, 3);
    for (let index = 0; index < this.stages.length; index += 1) {
      this.stepStage(index, powered, stepSeconds);
    }
    this.calling = this.onCount > 0;
  }

  private stepStage(index: number, powered: boolean, stepSeconds: number): void {
    const since = (this.sinceSeconds[index] ?? 0) + stepSeconds;
    this.sinceSeconds[index] = since;
    const on = this.stages[index] === true;
    const onAt = 0.4 + STAGE_STEP_KELVIN * index;
    const wanted = on ? this.driftKelvin > onAt - STAGE_BAND_KELVIN : this.driftKelvin > onAt;
    const next = powered && wanted;
    if (next === on || (powered && since < SHORTEST_STAGE_SECONDS)) return;
    this.stages[index] = next;
    this.onCount += next ? 1 : -1;
    this.sinceSeconds[index] = 0;
  }
}
