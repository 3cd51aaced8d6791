import { OPENING_TRAITS, type Opening, type OpeningTraits } from './surroundings.ts';
import type { Weather } from './weather.ts';

/** Water that came through the openings within a step, g. Filled in place. */
export interface IngressGrams {
  /** Liquid that drips over contactors and plate. */
  drip: number;
  /** Liquid that runs straight to the bottom. */
  run: number;
  snow: number;
}

/** `catchSquareMetres` is stated for this wind. */
const REFERENCE_WIND = 6;
/** Stronger wind tears the film off the panel as fast as it brings it. Assumption. */
const MOST_WIND = 25;

interface Inlet {
  readonly opening: Opening;
  readonly traits: OpeningTraits;
}

/**
 * Wind-driven rain and snow: what an opening catches goes with the rain, the wind speed and the
 * cosine of the angle between wind and opening (the form of the driving-rain index of ISO 15927-3,
 * here linear in the rain); a little falls in without wind where the place allows it.
 */
export class Ingress {
  private inlets: Inlet[];

  constructor(openings: readonly Opening[]) {
    this.inlets = openings.map((opening) => ({
      opening,
      traits: OPENING_TRAITS[opening.place ?? 'gasket'],
    }));
  }

  /** Closes every opening for good. */
  seal(): void {
    this.inlets = [];
  }

  /** Whether an opening that is there at this time has blocked weep holes. */
  drainBlocked(atMs: number): boolean {
    for (const { opening } of this.inlets) {
      if (opening.drainBlocked && isOpen(opening, atMs)) return true;
    }
    return false;
  }

  step(into: IngressGrams, weather: Weather, atMs: number, stepSeconds: number): void {
    into.drip = 0;
    into.run = 0;
    into.snow = 0;
    if (weather.rainMm + weather.snowMm === 0) return;
    const wind = Math.min(weather.windMetresPerSecond, MOST_WIND) / REFERENCE_WIND;
    for (const { opening, traits } of this.inlets) {
      if (!isOpen(opening, atMs)) continue;
      const radians = ((weather.windFromDegrees - opening.facingDegrees) * Math.PI) / 180;
      const driven = Math.max(0, Math.cos(radians)) * wind;
      const carried =
        opening.catchSquareMetres * (driven + traits.fallingShare) * (stepSeconds / 60);
      // 1 mm on 1 m2 is 1 kg; the weather's amounts are those of a minute.
      const liquid = 1000 * weather.rainMm * carried;
      into.drip += traits.dripShare * liquid;
      into.run += (1 - traits.dripShare) * liquid;
      into.snow += 1000 * weather.snowMm * carried;
    }
  }
}

function isOpen(opening: Opening, atMs: number): boolean {
  return opening.fromMs === undefined || atMs >= opening.fromMs;
}
