import type { WettingEpisode, WettingSource } from '@lineside/anomaly';
import type { Features } from './features.ts';

const HOUR_MS = 3_600_000;
/** The criterion of ISO 9223: above 80 %RH at more than 0 C. */
const WET_PERCENT = 80;
const WET_ABOVE_CELSIUS = 0;
/** Dry for so long, or unseen, and the spell is over. */
const DRY_MS: number = HOUR_MS;
/** The sensors' error: 3 %RH at 25 C. */
const EXCESS_PASCALS = 95;

interface Spell {
  readonly startMs: number;
  peakMs: number;
  peakPercent: number;
  endMs: number;
  wetMs: number;
  excessMs: number;
}

/**
 * Wettings as all rivals tell them: spells of the ISO 9223 criterion. When more vapour is inside
 * than outside for half of the spell, water got in; else the weather was humid.
 */
export class WetSpells {
  readonly #told: WettingEpisode[] = [];
  #open: Spell | null = null;
  #lastMs = 0;

  step({ atMs, humidityPercent, celsius, excessPascals }: Features): void {
    if (humidityPercent === null || celsius === null) return;
    const elapsedMs = Math.min(atMs - this.#lastMs, DRY_MS);
    this.#lastMs = atMs;
    const wet = humidityPercent >= WET_PERCENT && celsius > WET_ABOVE_CELSIUS;
    if (this.#open !== null && atMs - this.#open.endMs > DRY_MS) this.#close();
    if (!wet) return;
    this.#open ??= {
      startMs: atMs,
      peakMs: atMs,
      peakPercent: 0,
      endMs: atMs,
      wetMs: 0,
      excessMs: 0,
    };
    const spell = this.#open;
    if (spell.startMs !== atMs) spell.wetMs += elapsedMs;
    if (excessPascals !== null && excessPascals > EXCESS_PASCALS) spell.excessMs += elapsedMs;
    if (humidityPercent > spell.peakPercent) {
      spell.peakPercent = humidityPercent;
      spell.peakMs = atMs;
    }
    spell.endMs = atMs;
  }

  end(): readonly WettingEpisode[] {
    this.#close();
    return this.#told;
  }

  #close(): void {
    const spell = this.#open;
    this.#open = null;
    if (spell === null) return;
    const { startMs, peakMs, endMs, wetMs, excessMs, peakPercent } = spell;
    const source: WettingSource =
      wetMs > 0 && excessMs >= wetMs / 2 ? 'water-ingress' : 'humid-weather';
    const evidence = { peakRelativeHumidityPercent: peakPercent };
    this.#told.push({ startMs, peakMs, endMs, source, wetHours: wetMs / HOUR_MS, evidence });
  }
}
