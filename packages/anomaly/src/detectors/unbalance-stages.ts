import { type FieldGuard, isListOf, isNullOr, isNumber } from '../field-guards.ts';
import { withStage } from './load-stage.ts';
import type { ThreePhases } from './sample.ts';

/**
 * How uneven each stage of load is while all is well: the median deviation of phases A and B from
 * the mean of the three, in per cent of it (phase C has the rest), by half octaves of the mean.
 *
 * A unit's stages (fans, one compressor, two) lie about a factor of two apart, and one stage moves
 * by a fifth with the weather, so that it may fill two neighbouring half octaves. Common practice,
 * no source. The median is followed by steps of a fixed size, first large, then small: a load that
 * is there for a part of the time does not move it, and once known it moves by at most 0.1 points
 * a day, so that a fault which grows over weeks is not learned away.
 */
export type UnevenStage = readonly [
  /** Counted up to `LEARNED_READINGS`. */
  readings: number,
  phaseAPercent: number,
  phaseBPercent: number,
  meanAmps: number,
];
export type UnevenStages = readonly (UnevenStage | null)[];

const UNEVEN_STAGES = 10;
const STAGES_AN_OCTAVE = 2;
/** An hour of one-minute readings tells what a stage is like. */
const LEARNED_READINGS = 60;
const FIRST_STEP_PERCENT = 0.4;
/** Every ten minutes. */
const LATER_STEP_PERCENT = 0.001;
const LATER_EVERY_MS = 600_000;
/** What deviates by more is no wandering of a healthy stage. */
const WANDERS_PERCENT = 3;
/** Amps follow the weather within hours. */
const AMPS_SHARE = 0.05;
const LATER_AMPS_SHARE = 0.25;
const PER_UNIT = 1000;

export const NO_UNEVEN_STAGES: UnevenStages = new Array<null>(UNEVEN_STAGES).fill(null);

const isUnevenStage: FieldGuard = (value) => isListOf(isNumber, 4)(value);
export const areUnevenStages: FieldGuard = isListOf(isNullOr(isUnevenStage), UNEVEN_STAGES);

/** Index of the stage with this mean of the three currents. */
export function unevenStage(meanAmps: number, runningAmps: number): number {
  const octaves = Math.log2(meanAmps / runningAmps) + 1;
  return Math.min(Math.max(Math.floor(STAGES_AN_OCTAVE * octaves), 0), UNEVEN_STAGES - 1);
}

export function isLearned(stage: UnevenStage | null | undefined): stage is UnevenStage {
  return stage !== null && stage !== undefined && stage[0] >= LEARNED_READINGS;
}

/** Deviations from what is usual, points of the mean; they add up to nothing. */
export interface Excess {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  /** The largest of the three, without its sign. */
  readonly percent: number;
}

/** `usual`: null for a load that should be even. */
export function excessOf(
  { a, b, c }: Pick<ThreePhases, 'a' | 'b' | 'c'>,
  usual: UnevenStage | null,
): Excess {
  const mean = (a + b + c) / 3;
  const overA = (100 * (a - mean)) / mean - (usual === null ? 0 : usual[1]);
  const overB = (100 * (b - mean)) / mean - (usual === null ? 0 : usual[2]);
  const overC = -overA - overB;
  return {
    a: overA,
    b: overB,
    c: overC,
    percent: Math.max(Math.abs(overA), Math.abs(overB), Math.abs(overC)),
  };
}

/** The very same stages come back when there is nothing to learn. */
export function learnUneven(
  stages: UnevenStages,
  index: number,
  { a, b, c }: Pick<ThreePhases, 'a' | 'b' | 'c'>,
  atMs: number,
  lastAtMs: number,
): UnevenStages {
  const stage = stages[index] ?? null;
  const mean = (a + b + c) / 3;
  const percentA = (100 * (a - mean)) / mean;
  const percentB = (100 * (b - mean)) / mean;
  if (stage === null) {
    return withStage(stages, index, [1, rounded(percentA), rounded(percentB), rounded(mean)]);
  }
  const [readings, usualA, usualB, usualAmps] = stage;
  const known = readings >= LEARNED_READINGS;
  if (known && Math.floor(atMs / LATER_EVERY_MS) === Math.floor(lastAtMs / LATER_EVERY_MS)) {
    return stages;
  }
  const strays = Math.max(Math.abs(percentA - usualA), Math.abs(percentB - usualB));
  if (known && strays > WANDERS_PERCENT) return stages;
  const step = known ? LATER_STEP_PERCENT : FIRST_STEP_PERCENT;
  return withStage(stages, index, [
    Math.min(readings + 1, LEARNED_READINGS),
    rounded(towards(usualA, percentA, step)),
    rounded(towards(usualB, percentB, step)),
    rounded(usualAmps + (known ? LATER_AMPS_SHARE : AMPS_SHARE) * (mean - usualAmps)),
  ]);
}

function towards(from: number, to: number, step: number): number {
  return Math.abs(to - from) <= step ? to : from + Math.sign(to - from) * step;
}

function rounded(value: number): number {
  return Math.round(value * PER_UNIT) / PER_UNIT;
}
