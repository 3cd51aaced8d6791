import { requireBetween, requireCount, requireNumber, requirePositive } from './ranges.ts';
import { clippedVariance } from './robust-location.ts';
import { deviationAbout, median } from './robust-scale.ts';

export interface RobustLevelSettings {
  /** Values kept to start from their median; 5 to 50. Half of them may be wild. */
  readonly startValues: number;
  /** Values after which what was learned becomes the anchor; startValues to 1,000,000. */
  readonly settleValues: number;
  /** Share of the newest value once settled; above 0, at most 0.2. */
  readonly leastWeight: number;
  /** Deviations that pull in full; what is further off pulls no harder. 0.5 to 10, usually 2. */
  readonly clipSigmas: number;
  /** What the spread never falls below, such as the resolution of a sensor; above 0. */
  readonly leastSpread: number;
  /** How far the level may go from its anchor, in spreads of the anchor; 0 to 1,000. */
  readonly reachSigmas: number;
  /** How many times the anchor's spread the spread may grow to, or shrink; 1 to 1,000. */
  readonly mostSpreadRatio: number;
}

/** Plain data, bounded by startValues: survives JSON. */
export interface RobustLevelState {
  readonly count: number;
  /** The first values, until there are startValues of them; then empty. */
  readonly first: readonly number[];
  /** Typical value and standard deviation; 0 and leastSpread until there are startValues. */
  readonly level: number;
  readonly spread: number;
  /** What was learned in settleValues; null before. */
  readonly anchor: { readonly level: number; readonly spread: number } | null;
}

export interface RobustLevel {
  readonly start: RobustLevelState;
  /** @throws RangeError unless value lies within 1e100. */
  readonly step: (state: RobustLevelState, value: number) => RobustLevelState;
  /** Whether the level would have gone further from its anchor than it may. */
  readonly isHeld: (state: RobustLevelState) => boolean;
}

/**
 * Mean and standard deviation of a stream, with bounded influence. Three bounds hold, whatever
 * comes: before it has settled the level moves by at most clip * spread / count per value; after,
 * by leastWeight * clip * spread; and never further than reach * (spread of the anchor) from its
 * anchor. So a fault that grows slowly cannot drag the level along.
 *
 * Output: a tracker whose `step` is pure; some 50 ns each once started.
 * Source: stochastic approximation of Huber's second proposal (Huber 1964; Robbins & Monro 1951);
 * the anchor is our own.
 * Errors: RangeError for settings outside the ranges named there; `step` throws RangeError unless
 * the value lies within 1e100.
 */
export function robustLevel(settings: RobustLevelSettings): RobustLevel {
  requireSettings(settings);
  const start: RobustLevelState = {
    count: 0,
    first: [],
    level: 0,
    spread: settings.leastSpread,
    anchor: null,
  };
  const share = clippedVariance(settings.clipSigmas);
  return {
    start,
    step: (state, value) => {
      requireNumber('value', value);
      const started = state.count >= settings.startValues;
      const next = started
        ? followed(settings, share, state, value)
        : gathered(settings, state, value);
      const settles = next.count === settings.settleValues;
      if (!settles) return next;
      return { ...next, anchor: { level: next.level, spread: next.spread } };
    },
    isHeld: ({ level, anchor }) =>
      anchor !== null &&
      Math.abs(level - anchor.level) >= settings.reachSigmas * anchor.spread * (1 - 1e-12),
  };
}

function gathered(
  settings: RobustLevelSettings,
  state: RobustLevelState,
  value: number,
): RobustLevelState {
  const first = [...state.first, value];
  const { count, level, spread, anchor } = state;
  if (first.length < settings.startValues) {
    return { count: count + 1, first, level, spread, anchor };
  }
  const middle = median(first);
  return {
    count: count + 1,
    first: [],
    level: middle,
    spread: Math.max(settings.leastSpread, deviationAbout(first, middle)),
    anchor,
  };
}

function followed(
  settings: RobustLevelSettings,
  share: number,
  state: RobustLevelState,
  value: number,
): RobustLevelState {
  const count = state.count + 1;
  const weight = Math.max(settings.leastWeight, 1 / count);
  const clip = settings.clipSigmas;
  const deviation = Math.min(clip, Math.max(-clip, (value - state.level) / state.spread));
  const growth = 1 + weight * ((deviation * deviation) / share - 1);
  const level = state.level + weight * deviation * state.spread;
  const spread = Math.max(settings.leastSpread, state.spread * Math.sqrt(growth));
  const { anchor } = state;
  if (anchor === null) return { count, first: state.first, level, spread, anchor };
  const reach = settings.reachSigmas * anchor.spread;
  const ratio = settings.mostSpreadRatio;
  return {
    count,
    first: state.first,
    level: Math.min(anchor.level + reach, Math.max(anchor.level - reach, level)),
    spread: Math.max(
      settings.leastSpread,
      Math.min(anchor.spread * ratio, Math.max(anchor.spread / ratio, spread)),
    ),
    anchor,
  };
}

function requireSettings(settings: RobustLevelSettings): void {
  requireCount('startValues', settings.startValues, 5, 50);
  requireCount('settleValues', settings.settleValues, settings.startValues, 1_000_000);
  requirePositive('leastWeight', settings.leastWeight);
  requireBetween('leastWeight', settings.leastWeight, 0, 0.2);
  requireBetween('clipSigmas', settings.clipSigmas, 0.5, 10);
  requirePositive('leastSpread', settings.leastSpread);
  requireBetween('reachSigmas', settings.reachSigmas, 0, 1000);
  requireBetween('mostSpreadRatio', settings.mostSpreadRatio, 1, 1000);
}
