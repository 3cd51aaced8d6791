import type { RandomStream } from './random.ts';
import { PHASES, type Phase } from './scenario.ts';
import { HARMLESS_WETNESS, type TrackState } from './track.ts';

/** A clean path flashes over near this current; a carbonised one at a fraction (assumptions). */
const CLEAN_CRITICAL_MILLIAMPS = 60;
const CARBON_WEAKENING = 0.65;
/** Below this share of the critical current it never does. */
const SAFE_SHARE = 0.35;
/** Flash-overs per hour at the critical current. */
const AT_CRITICAL_PER_HOUR = 0.4;
const STEEPNESS = 4;
const WET_ENOUGH = 0.2;
/** What an arc carbonises of what is left. */
const ARC_CARBON = 0.15;

/**
 * Whether a track flashes over within a step: by chance, with a rate that goes with the fourth power
 * of its current over the current that a path of its carbon stands. Only while wet.
 */
export function flashesOver(state: TrackState, random: RandomStream, stepSeconds: number): boolean {
  if (state.arcing || state.wetness < WET_ENOUGH) return false;
  const critical = CLEAN_CRITICAL_MILLIAMPS * (1 - CARBON_WEAKENING * state.carbon);
  const share = state.milliamps / critical;
  if (share < SAFE_SHARE) return false;
  const perHour = AT_CRITICAL_PER_HOUR * share ** STEEPNESS;
  if (random.uniform() >= 1 - Math.exp((-perHour * stepSeconds) / 3600)) return false;
  state.carbon += ARC_CARBON * (1 - state.carbon);
  return true;
}

/** An arc that opened no fuse burns on as a ground until its path has dried. */
export function arcGoesOut(state: TrackState): boolean {
  return state.arcing && state.wetness < HARMLESS_WETNESS;
}

/** How far an arc spreads: the phases it reaches, those of its track first. */
export function arcSpread(from: readonly Phase[], random: RandomStream): Phase[] {
  const others = PHASES.filter((phase) => !from.includes(phase));
  const draw = random.uniform();
  if (from.length === 2) return draw < 0.75 ? [...from] : [...PHASES];
  if (draw < 0.55) return [...from];
  if (draw < 0.82) {
    const next = others[random.uniform() < 0.5 ? 0 : 1];
    return next === undefined ? [...from] : [...from, next];
  }
  return [...PHASES];
}
