import { clamp, lagShare } from './drift.ts';

/** The air and water at the surface that a deposit lies on. */
export interface SurfaceMoisture {
  /** Humidity of the air as the surface's own temperature makes it, % RH. */
  readonly humidityPercent: number;
  readonly filmGramsPerSquareMetre: number;
  readonly celsius: number;
}

/** A liquid film of this much conducts half as well as the thickest. */
const HALF_FILM_GRAMS_PER_SQUARE_METRE = 12;
/** How much better the thickest liquid film conducts than the deposit in air of 100 % RH. */
const LIQUID_FACTOR = 3;
/** Dissolving salts lets the conductance rise steeply; the exponent is an assumption. */
const HUMID_EXPONENT = 2.2;
/** Films of melt water stop conducting over this range below 0 C. */
const FREEZING_KELVIN = 1.5;
const WETTING_LAG_SECONDS = 20 * 60;
const DRYING_LAG_SECONDS = 50 * 60;

/**
 * How wet a deposit is in balance with its surroundings: 0 dry, 1 in air of 100 % RH, up to 4 under
 * liquid water. Smooth; 0 up to the wetting point.
 */
export function balancedWetness(moisture: SurfaceMoisture, wettingPointPercent: number): number {
  const above =
    (clamp(moisture.humidityPercent, 0, 100) - wettingPointPercent) / (100 - wettingPointPercent);
  const humid = above > 0 ? above ** HUMID_EXPONENT : 0;
  const film = moisture.filmGramsPerSquareMetre;
  const liquid = (LIQUID_FACTOR * film) / (film + HALF_FILM_GRAMS_PER_SQUARE_METRE);
  const thawed = clamp(1 + moisture.celsius / FREEZING_KELVIN, 0, 1);
  return (humid + liquid) * thawed;
}

/** Wetness follows with a lag: a deposit wets faster than it dries. */
export function followWetness(current: number, goal: number, stepSeconds: number): number {
  const lag = goal > current ? WETTING_LAG_SECONDS : DRYING_LAG_SECONDS;
  return current + (goal - current) * lagShare(stepSeconds, lag);
}
