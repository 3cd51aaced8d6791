import type { Chance } from '../chance.ts';
import type { PlainTrack } from '../plan.ts';
import { approach, Wander } from '../wander.ts';

const HOUR_MS = 3_600_000;
const MINUTE_MS = 60_000;
const CURRENT_MOST = 4000;
/** Carbon does not lead better than this many times the first dirt. */
const GROWTH_MOST = 60;
const FLASHES_PER_HOUR = 0.6;

/** One track as it wets, grows and dries. */
export class TrackState {
  milliamps = 0;
  /** Share of its wet current that it carries now because of water, 0 to 1. */
  wetShare = 0;
  /** How unsteady it is, 0 steady. */
  unrest = 0;
  private growth = 1;
  private felt = 0;
  private readonly noise: Wander;
  private readonly chance: Chance;
  private readonly track: PlainTrack;

  constructor(track: PlainTrack, chance: Chance) {
    this.track = track;
    this.chance = chance;
    this.noise = new Wander(chance, MINUTE_MS * chance.between([3, 15]));
  }

  /** @param drive share of 277 V that drives it; pole to pole 1. */
  step(ms: number, surfacePercent: number, drive: number): void {
    const { track } = this;
    const before = this.felt;
    this.felt += approach(ms, track.lagMs) * (surfacePercent - this.felt);
    this.wetShare = answer(track, this.felt);
    const dries = before - this.felt > 0 && this.felt > 60 ? 1 : 0.15;
    this.unrest = 0.45 * dries * this.wetShare ** 0.5;
    const wobble = Math.exp(this.unrest * this.noise.step(ms) - 0.03);
    const floor = track.floorShare * (this.growth - 1);
    const wetMilliamps = track.wetMilliamps * drive;
    const now = wetMilliamps * (this.growth * this.wetShare * wobble + floor);
    this.milliamps = Math.min(CURRENT_MOST, now);
    if (this.wetShare < 0.05 || drive <= 0) return;
    const hours = (ms / HOUR_MS) * this.wetShare;
    const rate = (this.growth * drive * hours) / track.runawayHours;
    this.growth = Math.min(GROWTH_MOST, this.growth * (1 + Math.min(0.1, rate)));
  }

  flashesOver(ms: number): boolean {
    const share = this.milliamps / this.track.flashMilliamps;
    if (share < 0.4 || this.wetShare < 0.05) return false;
    return this.chance.happens((FLASHES_PER_HOUR * share ** 3 * ms) / HOUR_MS);
  }
}

function answer({ shape, halfPercent, slopePercent }: PlainTrack, felt: number): number {
  if (shape === 'logistic') return 1 / (1 + Math.exp(-(felt - halfPercent) / slopePercent));
  return Math.exp((Math.min(102, felt) - 102) / (1.5 * slopePercent));
}
