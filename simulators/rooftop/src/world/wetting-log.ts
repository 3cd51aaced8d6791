import type { WettingTruth, WettingTruthSource } from '../truth/truth.ts';
import type { Compartment } from './compartment.ts';
import { DEPOSIT_KINDS, type DepositKind } from './deposit-kinds.ts';
import { balancedWetness, followWetness } from './deposits.ts';

/** A liquid film is there from this on, g/m2, and gone below the other. */
export const FILM_BEGINS_GRAMS_PER_SQUARE_METRE = 1;
const FILM_ENDS_GRAMS_PER_SQUARE_METRE = 0.3;
/** A deposit counts as wet by humidity from this wetness on, and as dry below the other. */
const HUMID_BEGINS_WETNESS = 0.05;
const HUMID_ENDS_WETNESS = 0.02;
/** It must be dry for so long before a wetting is over: shorter breaks join. */
export const DRY_FOR_MS: number = 60 * 60_000;
/** Air grows humid before a film shows: a film so soon after belongs to the same wetting. */
const FILM_FOLLOWS_MS: number = 2 * 60 * 60_000;
/** From this much water below, a deposit that is humid is so because of it, g. */
const POOL_MATTERS_GRAMS = 20;

interface Flown {
  dripped: number;
  condensed: number;
  poolGave: number;
}

interface OpenWetting {
  withFilm: boolean;
  readonly startMs: number;
  peakMs: number;
  peakFilm: number;
  peakWetness: number;
  lastWetMs: number;
  /** What had flowed when there was last no film, frozen or liquid. */
  readonly before: Readonly<Flown>;
  steps: number;
  poolSteps: number;
}

/**
 * Writes down the true wettings of one compartment, by these rules:
 *
 * - A wetting with a film begins when the liquid film on plate and contactors reaches
 *   `FILM_BEGINS…`; a humid one when the air alone, above the wetting point of the reference
 *   deposit, has made it as wet as `HUMID_BEGINS_WETNESS`. A frozen film is none.
 * - A film that comes up within `FILM_FOLLOWS_MS` of a humid wetting's begin makes that one a
 *   wetting with a film; later it ends the humid one and begins a new one.
 * - A wetting with a film ends when the film, a humid one when the wetness by air alone, has been
 *   below its `…ENDS…` for `DRY_FOR_MS`; the end is the last wet moment. Humid weather after a film
 *   is a wetting of its own.
 * - The peak is the most film, without a film the most wetness.
 * - Source of a film: what fed it since the start. Dripped, melted and sprayed liquid counts as
 *   ingress; so does condensate, up to what the water below gave off meanwhile. Ingress of at least
 *   half is `water-ingress`, else `condensation`. Without a film it is `water-ingress` when water
 *   stood below for most of the time, else `humid-weather`.
 */
export class WettingLog {
  private readonly kind: DepositKind;
  private readonly wettingPointPercent: number;
  private readonly done: WettingTruth[] = [];
  private open: OpenWetting | null = null;
  private wetness = 0;
  private readonly air = { humidityPercent: 0, filmGramsPerSquareMetre: 0, celsius: 0 };
  private readonly whenDry: Flown = { dripped: 0, condensed: 0, poolGave: 0 };

  /** @param wettingPointPercent of the reference deposit; that of mineral dust when not given. */
  constructor(wettingPointPercent?: number, kind: DepositKind = DEPOSIT_KINDS['mineral-dust']) {
    this.kind = kind;
    this.wettingPointPercent = wettingPointPercent ?? kind.wettingPointPercent;
  }

  /** After each step of the compartment. */
  step(compartment: Compartment, atMs: number, stepSeconds: number): void {
    const moisture = compartment.surface();
    const film = moisture.filmGramsPerSquareMetre;
    this.air.humidityPercent = moisture.humidityPercent;
    this.air.celsius = moisture.celsius;
    const goal = balancedWetness(this.air, this.wettingPointPercent, this.kind);
    this.wetness = followWetness(this.wetness, goal, stepSeconds, this.kind);
    const withFilm = film >= FILM_BEGINS_GRAMS_PER_SQUARE_METRE;
    if (withFilm && this.open !== null && !this.open.withFilm) {
      this.meetFilm(this.open, compartment, atMs);
    }
    if (compartment.state.filmGramsPerSquareMetre < FILM_ENDS_GRAMS_PER_SQUARE_METRE) {
      noteFlown(this.whenDry, compartment);
    }
    if (this.open === null) {
      const humid = goal > HUMID_ENDS_WETNESS && this.wetness >= HUMID_BEGINS_WETNESS;
      if (!withFilm && !humid) return;
      this.open = begin({ ...this.whenDry }, withFilm, atMs);
    }
    this.follow(this.open, compartment, film, atMs);
  }

  /** All so far, oldest first; one that is still wet ends at the last step. */
  wettings(compartment: Compartment): readonly WettingTruth[] {
    if (this.open === null) return this.done;
    return [...this.done, told(this.open, compartment, this.open.lastWetMs)];
  }

  private follow(open: OpenWetting, compartment: Compartment, film: number, atMs: number): void {
    const wet = open.withFilm
      ? film >= FILM_ENDS_GRAMS_PER_SQUARE_METRE
      : this.wetness >= HUMID_ENDS_WETNESS;
    if (wet) open.lastWetMs = atMs;
    open.steps += 1;
    if (compartment.state.poolGrams > POOL_MATTERS_GRAMS) open.poolSteps += 1;
    const higher = open.withFilm ? film > open.peakFilm : this.wetness > open.peakWetness;
    if (higher) open.peakMs = atMs;
    open.peakFilm = Math.max(open.peakFilm, film);
    open.peakWetness = Math.max(open.peakWetness, this.wetness);
    if (atMs - open.lastWetMs >= DRY_FOR_MS) this.close(compartment, open.lastWetMs);
  }

  private meetFilm(open: OpenWetting, compartment: Compartment, atMs: number): void {
    if (atMs - open.startMs > FILM_FOLLOWS_MS) this.close(compartment, atMs);
    else open.withFilm = true;
  }

  private close(compartment: Compartment, endMs: number): void {
    if (this.open !== null) this.done.push(told(this.open, compartment, endMs));
    this.open = null;
  }
}

function noteFlown(into: Flown, { ledger }: Compartment): void {
  into.dripped = ledger.drippedGrams;
  into.condensed = ledger.condensedGrams;
  into.poolGave = ledger.poolEvaporatedGrams;
}

function begin(before: Flown, withFilm: boolean, atMs: number): OpenWetting {
  return {
    withFilm,
    startMs: atMs,
    peakMs: atMs,
    peakFilm: 0,
    peakWetness: 0,
    lastWetMs: atMs,
    before,
    steps: 0,
    poolSteps: 0,
  };
}

function told(open: OpenWetting, compartment: Compartment, endMs: number): WettingTruth {
  return {
    startMs: open.startMs,
    peakMs: open.peakMs,
    endMs,
    source: sourceOf(open, compartment),
    peakFilmGramsPerSquareMetre: open.peakFilm,
  };
}

function sourceOf(open: OpenWetting, { ledger }: Compartment): WettingTruthSource {
  if (!open.withFilm) {
    return open.poolSteps > open.steps / 2 ? 'water-ingress' : 'humid-weather';
  }
  const condensed = ledger.condensedGrams - open.before.condensed;
  const fromPool = Math.min(condensed, ledger.poolEvaporatedGrams - open.before.poolGave);
  const ingress = ledger.drippedGrams - open.before.dripped + fromPool;
  return ingress >= condensed - fromPool && ingress > 0 ? 'water-ingress' : 'condensation';
}
