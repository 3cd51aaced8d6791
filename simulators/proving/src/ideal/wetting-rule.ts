import type { WettingEpisode } from '@lineside/anomaly';
import {
  balancedWetness,
  DEPOSIT_KINDS,
  followWetness,
  type SurfaceMoisture,
} from '@lineside/rooftop';

/** The world's own rule for a wetting (`WettingLog` of the rooftop); a test holds both together. */
const FILM_BEGINS_GRAMS_PER_SQUARE_METRE = 1;
const FILM_ENDS_GRAMS_PER_SQUARE_METRE = 0.3;
const HUMID_BEGINS_WETNESS = 0.05;
const HUMID_ENDS_WETNESS = 0.02;
const DRY_FOR_MS = 60 * 60_000;
const FILM_FOLLOWS_MS = 2 * 60 * 60_000;
const USUAL_DEPOSIT = DEPOSIT_KINDS['mineral-dust'];

interface OpenEpisode {
  withFilm: boolean;
  readonly startMs: number;
  lastWetMs: number;
}

/** Finds wettings by the world's rule in whatever moisture it is given, true or as sent. */
export class WettingRule {
  private readonly wettingPointPercent: number;
  private readonly done: WettingEpisode[] = [];
  private open: OpenEpisode | null = null;
  private wetness = 0;
  private lastMs: number;

  /**
   * @param startMs when it is still dry.
   * @param wettingPointPercent of the dirt, % RH; that of the usual deposit when not given.
   */
  constructor(startMs: number, wettingPointPercent: number = USUAL_DEPOSIT.wettingPointPercent) {
    this.lastMs = startMs;
    this.wettingPointPercent = wettingPointPercent;
  }

  step(moisture: SurfaceMoisture, atMs: number): void {
    const film = moisture.filmGramsPerSquareMetre;
    const byAir = { ...moisture, filmGramsPerSquareMetre: 0 };
    const goal = balancedWetness(byAir, this.wettingPointPercent);
    this.wetness = followWetness(this.wetness, goal, (atMs - this.lastMs) / 1000);
    this.lastMs = atMs;
    const withFilm = film >= FILM_BEGINS_GRAMS_PER_SQUARE_METRE;
    if (withFilm && this.open !== null && !this.open.withFilm) this.meetFilm(this.open, atMs);
    if (this.open === null) {
      const humid = goal > HUMID_ENDS_WETNESS && this.wetness >= HUMID_BEGINS_WETNESS;
      if (!withFilm && !humid) return;
      this.open = { withFilm, startMs: atMs, lastWetMs: atMs };
    }
    const wet = this.open.withFilm
      ? film >= FILM_ENDS_GRAMS_PER_SQUARE_METRE
      : this.wetness >= HUMID_ENDS_WETNESS;
    if (wet) this.open.lastWetMs = atMs;
    if (atMs - this.open.lastWetMs >= DRY_FOR_MS) this.close(this.open, this.open.lastWetMs);
  }

  /** All so far, oldest first. Peak, source and hours are not judged: they mean nothing. */
  episodes(): readonly WettingEpisode[] {
    return this.open === null ? this.done : [...this.done, episode(this.open, this.open.lastWetMs)];
  }

  private meetFilm(open: OpenEpisode, atMs: number): void {
    if (atMs - open.startMs > FILM_FOLLOWS_MS) this.close(open, atMs);
    else open.withFilm = true;
  }

  private close(open: OpenEpisode, endMs: number): void {
    this.done.push(episode(open, endMs));
    this.open = null;
  }
}

function episode({ startMs }: OpenEpisode, endMs: number): WettingEpisode {
  return { startMs, peakMs: startMs, endMs, source: 'humid-weather', wetHours: 0, evidence: {} };
}
