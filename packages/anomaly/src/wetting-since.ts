import type { WatchState } from './watch-state.ts';

/**
 * Event time (ms) since when a wetting goes on, or may turn out to have begun; null while the
 * compartment is dry.
 */
export function wettingSinceMs({ wetness }: WatchState): number | null {
  return wetness.open?.startMs ?? wetness.dampSinceMs ?? wetness.firstWetMs;
}
