import {
  type FieldGuards,
  hasShape,
  isListOf,
  isNullOr,
  isNumber,
  isNumberOrNull,
} from '../field-guards.ts';
import { LOAD_STAGES, withStage } from './load-stage.ts';

/**
 * What the unit leaks in dry weather when it is well, for each stage of load. Raises nothing.
 *
 * Uses: `leak`, the stage of load, `rh`. Learned from one reading in five minutes below 65 %RH
 * (leakage of a dirty surface is steep from 60 to 75 %RH on), outside wettings, below the limits,
 * with no leakage finding standing and the door not open. A stage counts as learned once three of
 * the four humidity bands have two hours each, or after 24 hours of dry readings in all: coverage
 * counts, not days. The level is a mean whose steps are clipped, so that wild values do not move it.
 *
 * It cannot learn a growing fault away: readings above the routine limit are not learned from, it
 * rises ten times slower than it falls, and never above half as much again plus 0.5 mA of what it
 * was when it was first learned. A repair starts it anew.
 */
export interface LeakageBaselineSlice {
  readonly stages: readonly (StageBaseline | null)[];
}

export interface StageBaseline {
  readonly atMs: number;
  readonly milliamps: number;
  /** Mean deviation from the level, mA. */
  readonly spreadMilliamps: number;
  /** Dry time that has been learned from, by humidity band. */
  readonly bandMs: readonly number[];
  /** The level when it was first learned; null while it is being learned. */
  readonly anchorMilliamps: number | null;
}

const MINUTE_MS = 60_000;
const HOUR_MS = 3_600_000;
/** Above this leakage follows the weather (steep above 60 to 75 %RH; common practice). */
export const DRY_HUMIDITY_PERCENT = 65;
/** Lower edges of the humidity bands, in %RH; the lowest band is all below the second edge. */
const BAND_EDGES_PERCENT = [0, 35, 45, 55] as const;
const BAND_LEAST_MS: number = 2 * HOUR_MS;
const BANDS_TO_LEARN = 3;
const DRY_TIME_TO_LEARN_MS: number = 24 * HOUR_MS;
/** One reading in this time is enough of a sample, and costs a fifth of judging each. */
const LEARN_EVERY_MS: number = 5 * MINUTE_MS;
const MOST_GAP_MS: number = 15 * MINUTE_MS;
/** In the first two hours it takes the plain mean: there is no spread to clip by yet. */
const UNCLIPPED_MS: number = 2 * HOUR_MS;
const CLIP_SPREADS = 2;
const LEAST_CLIP_MILLIAMPS = 0.1;
/** Season and dirt move a healthy unit over weeks. */
const SLOWEST_TIME_CONSTANT_MS: number = 72 * HOUR_MS;
const RISE_SHARE = 0.1;
const MOST_RISE_RATIO = 1.5;
const MOST_RISE_MILLIAMPS = 0.5;

export const LEAKAGE_BASELINE_START: LeakageBaselineSlice = {
  stages: new Array<null>(LOAD_STAGES).fill(null),
};

export const LEAKAGE_BASELINE_FIELDS: FieldGuards<LeakageBaselineSlice> = {
  stages: (value) =>
    Array.isArray(value) &&
    value.length === LOAD_STAGES &&
    isListOf(
      isNullOr(
        hasShape<StageBaseline>({
          atMs: isNumber,
          milliamps: isNumber,
          spreadMilliamps: isNumber,
          bandMs: isListOf(isNumber, BAND_EDGES_PERCENT.length),
          anchorMilliamps: isNumberOrNull,
        }),
      ),
      LOAD_STAGES,
    )(value),
};

/** The stage's baseline once it is learned, else null. */
export function learnedBaseline(slice: LeakageBaselineSlice, stage: number): StageBaseline | null {
  const baseline = slice.stages[stage] ?? null;
  return baseline === null || baseline.anchorMilliamps === null ? null : baseline;
}

/** True until a baseline is learned for at least one stage of load. */
export function isLearning({ stages }: LeakageBaselineSlice): boolean {
  return stages.every((stage) => stage === null || stage.anchorMilliamps === null);
}

/**
 * Learns from one reading that the caller holds for healthy (see above).
 *
 * @param humidityPercent below `DRY_HUMIDITY_PERCENT`.
 */
export function stepLeakageBaseline(
  slice: LeakageBaselineSlice,
  atMs: number,
  milliamps: number,
  stage: number,
  humidityPercent: number,
): LeakageBaselineSlice {
  const before = slice.stages[stage] ?? null;
  if (before !== null && atMs - before.atMs < LEARN_EVERY_MS) return slice;
  const next = before === null ? begun(atMs, milliamps) : learned(before, atMs, milliamps);
  const elapsedMs = before === null ? 0 : Math.min(atMs - before.atMs, MOST_GAP_MS);
  const counted = next.anchorMilliamps === null ? covered(next, elapsedMs, humidityPercent) : next;
  return { stages: withStage(slice.stages, stage, counted) };
}

function begun(atMs: number, milliamps: number): StageBaseline {
  return {
    atMs,
    milliamps,
    spreadMilliamps: 0,
    bandMs: BAND_EDGES_PERCENT.map(() => 0),
    anchorMilliamps: null,
  };
}

function learned(before: StageBaseline, atMs: number, milliamps: number): StageBaseline {
  const { anchorMilliamps, spreadMilliamps } = before;
  const elapsedMs = Math.min(atMs - before.atMs, MOST_GAP_MS);
  const seenMs = anchorMilliamps === null ? dryMs(before) : SLOWEST_TIME_CONSTANT_MS;
  const share = elapsedMs / (elapsedMs + Math.min(seenMs, SLOWEST_TIME_CONSTANT_MS));
  const clip = Math.max(CLIP_SPREADS * spreadMilliamps, LEAST_CLIP_MILLIAMPS);
  const deviation = milliamps - before.milliamps;
  const most = seenMs < UNCLIPPED_MS ? Infinity : clip;
  let step = share * Math.min(Math.max(deviation, -most), most);
  if (anchorMilliamps !== null && step > 0) step *= RISE_SHARE;
  const highest =
    anchorMilliamps === null
      ? Infinity
      : Math.max(MOST_RISE_RATIO * anchorMilliamps + MOST_RISE_MILLIAMPS, before.milliamps);
  const spread = Math.min(Math.abs(deviation), 2 * most);
  return {
    atMs,
    milliamps: Math.min(before.milliamps + step, highest),
    spreadMilliamps: spreadMilliamps + share * (spread - spreadMilliamps),
    bandMs: before.bandMs,
    anchorMilliamps,
  };
}

function covered(
  baseline: StageBaseline,
  elapsedMs: number,
  humidityPercent: number,
): StageBaseline {
  let band = BAND_EDGES_PERCENT.length - 1;
  while (band > 0 && humidityPercent < (BAND_EDGES_PERCENT[band] ?? 0)) band -= 1;
  const bandMs = baseline.bandMs.map((ms, index) => (index === band ? ms + elapsedMs : ms));
  const bands = bandMs.filter((ms) => ms >= BAND_LEAST_MS).length;
  const next: StageBaseline = { ...baseline, bandMs };
  const isLearned = bands >= BANDS_TO_LEARN || dryMs(next) >= DRY_TIME_TO_LEARN_MS;
  return isLearned ? { ...next, anchorMilliamps: next.milliamps } : next;
}

function dryMs({ bandMs }: StageBaseline): number {
  let sum = 0;
  for (const ms of bandMs) sum += ms;
  return sum;
}
