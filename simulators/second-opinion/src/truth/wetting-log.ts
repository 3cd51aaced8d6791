import type { WettingTruth } from '@lineside/rooftop';
import type { PlainCompartment } from '../unit/compartment.ts';

const BREAK_MS = 2 * 3_600_000;
/** ISO 9223 counts time above 80 %RH and 0 C as wet. */
const WET_PERCENT = 80;
const BUCKET_GRAMS = 5;
const FILM_GRAMS = 0.5;

interface Open {
  startMs: number;
  peakMs: number;
  endMs: number;
  film: number;
  water: boolean;
  peak: number;
}

/** Writes down when a compartment was wet, and from where. */
export class WettingLog {
  private readonly all: Open[] = [];

  look(atMs: number, inside: PlainCompartment, airPercent: number): void {
    const water = inside.waterGrams > BUCKET_GRAMS;
    const film = inside.filmGrams > FILM_GRAMS;
    const damp = airPercent > WET_PERCENT && inside.airCelsius > 0;
    if (!(water || film || damp)) return;
    let open = this.all.at(-1);
    if (open === undefined || atMs - open.endMs > BREAK_MS) {
      open = { startMs: atMs, peakMs: atMs, endMs: atMs, film: 0, water: false, peak: -1 };
      this.all.push(open);
    }
    open.endMs = atMs;
    open.water ||= water;
    open.film = Math.max(open.film, inside.filmGrams);
    const height = inside.filmGrams + inside.surfacePercent / 1000;
    if (height > open.peak) {
      open.peak = height;
      open.peakMs = atMs;
    }
  }

  truth(): WettingTruth[] {
    return this.all.map(({ startMs, peakMs, endMs, film, water }) => {
      const dew = film > FILM_GRAMS ? 'condensation' : 'humid-weather';
      const source = water ? 'water-ingress' : dew;
      return { startMs, peakMs, endMs, source, peakFilmGramsPerSquareMetre: film };
    });
  }
}
