import type { Chance } from '../chance.ts';
import { RANGES } from '../ranges.ts';
import { approach } from '../wander.ts';
import { magnusPascals } from '../weather/magnus.ts';
import type { PlainAir } from '../weather/plain-weather.ts';

const HOUR_MS = 3_600_000;
const MINUTE_MS = 60_000;
/** The bucket leaks through weep holes. */
const DRAIN_MS: number = 20 * HOUR_MS;
const FILM_MOST = 60;
const MELTS_PER_KELVIN_HOUR = 0.12;

/** What acts on the compartment beside weather. */
export interface Disturbance {
  running: boolean;
  gramsPerMillimetre: number;
  buildingPascals: number;
  washed: boolean;
}

/** Air, plate and water in one unit: lags towards outdoors and a leaky bucket. */
export class PlainCompartment {
  airCelsius = 0;
  plateCelsius = 0;
  vapourPascals = 0;
  /** Water in the bucket, g. */
  waterGrams = 0;
  snowGrams = 0;
  /** g/m2 on the plate. */
  filmGrams = 0;
  /** Humidity at the plate's surface, %RH, over 100 with a film. */
  surfacePercent = 0;
  private readonly airLagMs: number;
  private readonly plateLagMs: number;
  private readonly vapourLagMs: number;
  private readonly sunKelvin: number;
  private readonly runKelvin: number;
  private readonly nightKelvin: number;
  private readonly filmRate: number;

  constructor(chance: Chance, air: PlainAir) {
    const { compartment } = RANGES;
    this.airLagMs = MINUTE_MS * chance.between(compartment.airLagMinutes);
    this.plateLagMs = MINUTE_MS * chance.between(compartment.plateLagMinutes);
    this.vapourLagMs = MINUTE_MS * chance.decades(compartment.vapourLagMinutes);
    this.sunKelvin = chance.between(compartment.sunKelvin);
    this.runKelvin = chance.between(compartment.runKelvin);
    this.nightKelvin = chance.between(compartment.nightKelvin);
    this.filmRate = chance.decades(compartment.filmGramsPerHourPascal);
    this.airCelsius = air.celsius;
    this.plateCelsius = air.celsius;
    this.vapourPascals = air.vapourPascals;
  }

  step(ms: number, air: PlainAir, act: Disturbance): void {
    const night = air.sun > 0 ? 0 : this.nightKelvin * (1 - air.cloud);
    const calm = 1 / (1 + air.windMetresPerSecond / 4);
    const warm = this.sunKelvin * air.sun + (act.running ? this.runKelvin : 0) - night * calm;
    this.airCelsius += approach(ms, this.airLagMs) * (air.celsius + warm - this.airCelsius);
    const plateAim = this.airCelsius - night * (0.4 + calm);
    this.plateCelsius += approach(ms, this.plateLagMs) * (plateAim - this.plateCelsius);
    const hours = ms / HOUR_MS;
    this.takeWater(hours, air, act);
    const airMost = magnusPascals(this.airCelsius);
    const plateMost = magnusPascals(this.plateCelsius);
    this.breathe(ms, air, act, airMost);
    const condenses = this.filmRate * (this.vapourPascals - plateMost) * hours;
    this.filmGrams = Math.min(FILM_MOST, Math.max(0, this.filmGrams + condenses));
    if (this.vapourPascals > plateMost) {
      this.vapourPascals -= 0.3 * (this.vapourPascals - plateMost);
    }
    const wetter = Math.min(5, 0.5 * this.filmGrams);
    this.surfacePercent = Math.min(100, (100 * this.vapourPascals) / plateMost);
    if (this.filmGrams > 0.2) this.surfacePercent = 100 + wetter;
  }

  private takeWater(hours: number, air: PlainAir, act: Disturbance): void {
    const driven = 0.15 + (air.windMetresPerSecond / 8) ** 2;
    const inflow = act.gramsPerMillimetre * driven * hours;
    this.waterGrams += inflow * air.rainMillimetresPerHour;
    this.snowGrams += inflow * air.snowMillimetresPerHour;
    this.filmGrams += 0.02 * inflow * air.rainMillimetresPerHour;
    if (act.washed) this.waterGrams = Math.max(this.waterGrams, 25);
    if (this.airCelsius > 0.3 && this.snowGrams > 0) {
      const share = Math.min(1, MELTS_PER_KELVIN_HOUR * this.airCelsius * hours);
      this.waterGrams += share * this.snowGrams;
      this.filmGrams += 0.02 * share * this.snowGrams;
      this.snowGrams -= share * this.snowGrams;
      if (this.snowGrams < 0.5) this.snowGrams = 0;
    }
    this.waterGrams = Math.min(3000, this.waterGrams) * (1 - (hours * HOUR_MS) / DRAIN_MS);
    if (this.waterGrams < 0.3) this.waterGrams = 0;
  }

  private breathe(ms: number, air: PlainAir, act: Disturbance, airMost: number): void {
    const soaked = 1 - Math.exp(-this.waterGrams / 60);
    const deficit = Math.max(0, 0.97 * airMost - air.vapourPascals);
    const released = 0.75 * soaked * deficit;
    this.waterGrams = Math.max(0, this.waterGrams - 0.02 * released * (ms / HOUR_MS));
    const cold = Math.min(1, Math.max(0, (10 - air.celsius) / 15));
    const aim = air.vapourPascals + released + act.buildingPascals * cold;
    const lagMs = act.washed ? this.vapourLagMs / 4 : this.vapourLagMs;
    this.vapourPascals += approach(ms, lagMs) * (aim - this.vapourPascals);
    this.vapourPascals = Math.min(this.vapourPascals, airMost);
  }
}
