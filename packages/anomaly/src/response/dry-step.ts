import { type FieldGuard, isNullOr, isNumber } from '../field-guards.ts';

/**
 * A step of the leakage at rest between one dry hour and the next, without a wetting between: a
 * sensor that was changed or moved, a filter that was fitted. A film grows a track, dry air does
 * not; so everything that was learned moves by as much, and growth is not mistaken.
 */
export type DrySteadiness = readonly [
  /** When dry rest was last as it had been learned, ms. */
  steadyAtMs: number,
  /** Readings in a row that were not, and by how much in the mean, mA. */
  odd: number,
  shiftMilliamps: number,
  /** Bins of humidity that were as learned since the last wetting, one bit each. */
  bins: number,
];

/** After this, dirt or a leak may explain a difference. */
const STEADY_FOR_MS: number = 12 * 3_600_000;
/** An hour of readings. */
const ODD_TO_SHIFT = 12;
const ODD_SPREADS = 6;
const ODD_SHARE = 0.2;
const ODD_MILLIAMPS = 0.4;

export const isDrySteadiness: FieldGuard = isNullOr(
  (steady) => Array.isArray(steady) && steady.length === 4 && steady.every(isNumber),
);

export interface DryStep {
  readonly steady: DrySteadiness | null;
  /** True while it is not known what a reading means: it is not learned from. */
  readonly waits: boolean;
  /** By how much all that was learned has to move now, mA; 0 mostly. */
  readonly shiftMilliamps: number;
}

/** One reading of dry rest against the level (mA) and mean deviation learned in its bin. */
export function stepDrySteadiness(
  before: DrySteadiness | null,
  atMs: number,
  milliamps: number,
  bin: number,
  [level, spread]: readonly [level: number, spread: number, ...rest: readonly number[]],
): DryStep {
  const deviation = milliamps - level;
  const most = Math.max(ODD_SPREADS * spread, ODD_MILLIAMPS, ODD_SHARE * level);
  const [steadyAtMs, odd, mean, bins] = before ?? [atMs, 0, 0, 0];
  if (Math.abs(deviation) <= most) return quiet([atMs, 0, 0, bins | (1 << bin)]);
  // What a wetting left in this bin is not known yet, or it was too long ago.
  if ((bins & (1 << bin)) === 0 || atMs - steadyAtMs > STEADY_FOR_MS) return quiet(before);
  const shift = mean + (deviation - mean) / (odd + 1);
  if (odd + 1 < ODD_TO_SHIFT) {
    const rounded = Math.round(shift * 1000) / 1000;
    return { steady: [steadyAtMs, odd + 1, rounded, bins], waits: true, shiftMilliamps: 0 };
  }
  return { steady: [atMs, 0, 0, bins], waits: false, shiftMilliamps: shift };
}

function quiet(steady: DrySteadiness | null): DryStep {
  return { steady, waits: false, shiftMilliamps: 0 };
}
