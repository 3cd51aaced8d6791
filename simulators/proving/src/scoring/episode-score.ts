import type { WettingEpisode } from '@lineside/anomaly';
import type { WettingTruth } from '@lineside/rooftop';
import { MINUTE_MS, type ObservedUnit, YEAR_MS } from './observed-unit.ts';
import { type Proportion, proportion } from './proportion.ts';

/** How the wettings were found. */
export interface EpisodeScore {
  readonly found: Proportion;
  /** Among those found: the source of the episode that covers most of it. */
  readonly sourceRight: Proportion;
  /** Episodes that touch no wetting at all, however short. */
  readonly falseEpisodes: number;
  readonly falsePerUnitYear: number | null;
}

/** A shorter wetting is neither found nor missed. */
export const LEAST_WETTING_MS: number = 30 * MINUTE_MS;
/** An episode has found a wetting when they share this much of the shorter of both. */
const SHARED_LEAST = 0.5;

export function scoreEpisodes(units: readonly ObservedUnit[]): EpisodeScore {
  let wettings = 0;
  let found = 0;
  let right = 0;
  let falseEpisodes = 0;
  let observedMs = 0;
  for (const unit of units) {
    observedMs += unit.observedMs;
    for (const wetting of unit.truth.wettings) {
      if (wetting.endMs - wetting.startMs < LEAST_WETTING_MS) continue;
      wettings += 1;
      const match = bestMatch(wetting, unit);
      if (match === null) continue;
      found += 1;
      if (match.source === wetting.source) right += 1;
    }
    falseEpisodes += unit.episodes.filter((episode) => isFalse(episode, unit)).length;
  }
  return {
    found: proportion(found, wettings),
    sourceRight: proportion(right, found),
    falseEpisodes,
    falsePerUnitYear: observedMs > 0 ? falseEpisodes / (observedMs / YEAR_MS) : null,
  };
}

function bestMatch(wetting: WettingTruth, unit: ObservedUnit): WettingEpisode | null {
  let best: WettingEpisode | null = null;
  let bestMs = 0;
  for (const episode of unit.episodes) {
    const sharedMs = overlapMs(episode, wetting, unit.endMs);
    const episodeMs = (episode.endMs ?? unit.endMs) - episode.startMs;
    const shorterMs = Math.min(wetting.endMs - wetting.startMs, episodeMs);
    if (sharedMs > bestMs && sharedMs >= SHARED_LEAST * shorterMs) {
      best = episode;
      bestMs = sharedMs;
    }
  }
  return best;
}

function isFalse(episode: WettingEpisode, { truth, endMs }: ObservedUnit): boolean {
  return truth.wettings.every((wetting) => overlapMs(episode, wetting, endMs) < 0);
}

/** Shared time, ms; 0 when they only touch; below 0: the gap between them. */
function overlapMs(episode: WettingEpisode, wetting: WettingTruth, endMs: number): number {
  const untilMs = Math.min(episode.endMs ?? endMs, wetting.endMs);
  return untilMs - Math.max(episode.startMs, wetting.startMs);
}
