import { type FieldGuard, isListOf, isNullOr, isNumber } from '../field-guards.ts';
import { withStage } from './load-stage.ts';
import type { ThreePhases } from './sample.ts';

/**
 * How uneven each stage of load is while all is well: the median deviation of phases A and B from
 * the mean of the three, in per cent of it (phase C has the rest).
 *
 * A stage is what draws about the same amps: a single-phase fan that makes one compressor uneven by
 * ten per cent makes two uneven by five, so no stage may hold both. The mean says which stage runs,
 * as what a bad contact takes from one phase the others gain, or two of the three phases, whatever
 * an outlet does to the third. Its amps follow the weather, which moves one load by a fifth. Common
 * practice, no source. The median is followed by steps of a fixed size, first large, then small: a
 * load that is there for a part of the time does not move it, and once known it moves by at most
 * 0.1 points a day, so that a fault which grows over weeks is not learned away.
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
/** What draws within this share of a stage's amps is that stage. */
const SAME_STAGE_SHARE = 0.2;
/** Stages this far apart are certainly other loads, not one in two weathers. */
const OTHER_LOAD_RATIO = 1.5;
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

/** Index of the stage that the mean or two of the three phases say is running, or -1. */
export function unevenStage(
  stages: UnevenStages,
  { a, b, c }: Pick<ThreePhases, 'a' | 'b' | 'c'>,
): number {
  const mean = (a + b + c) / 3;
  let nearest = -1;
  let least = SAME_STAGE_SHARE;
  for (let index = 0; index < stages.length; index += 1) {
    const stage = stages[index];
    if (stage === null || stage === undefined) continue;
    const byA = a / (1 + stage[1] / 100);
    const byB = b / (1 + stage[2] / 100);
    const byC = c / (1 - (stage[1] + stage[2]) / 100);
    const middle = Math.max(Math.min(byA, byB), Math.min(Math.max(byA, byB), byC));
    const byMean = Math.abs(mean / stage[3] - 1);
    const apart = Math.min(byMean, Math.abs(middle / stage[3] - 1));
    if (apart < least) {
      least = apart;
      nearest = index;
    }
  }
  return nearest;
}

/** What each phase of a learned stage draws, A. */
export function usualAmpsOf([, percentA, percentB, meanAmps]: UnevenStage): {
  readonly [phase in 'a' | 'b' | 'c']: number;
} {
  return {
    a: meanAmps * (1 + percentA / 100),
    b: meanAmps * (1 + percentB / 100),
    c: meanAmps * (1 - (percentA + percentB) / 100),
  };
}

/** True where these stages, as bits, hold loads that are certainly different. */
export function areSeveralLoads(stages: UnevenStages, bits: number): boolean {
  let least = Infinity;
  let most = 0;
  for (const [index, stage] of stages.entries()) {
    if (stage === null || (bits & (1 << index)) === 0) continue;
    least = Math.min(least, stage[3]);
    most = Math.max(most, stage[3]);
  }
  return most >= OTHER_LOAD_RATIO * least;
}

/** Where a stage that was never seen is put: a free place, or the one that is missed least. */
function placeForNew(stages: UnevenStages): number {
  let place = -1;
  let fewest = LEARNED_READINGS;
  for (const [index, stage] of stages.entries()) {
    if (stage === null) return index;
    if (stage[0] < fewest) {
      fewest = stage[0];
      place = index;
    }
  }
  return place >= 0 ? place : closestToAnother(stages);
}

/** Two stages that have come close hold one load. */
function closestToAnother(stages: UnevenStages): number {
  let place = 0;
  let least = Infinity;
  for (const [index, stage] of stages.entries()) {
    for (const other of stages.slice(0, index)) {
      if (stage === null || other === null) continue;
      const apart = Math.abs(Math.log(stage[3] / other[3]));
      if (apart < least) {
        least = apart;
        place = index;
      }
    }
  }
  return place;
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
    percent: largestOf(overA, overB, overC),
  };
}

/**
 * By how much the currents of such an excess are more uneven than is usual, points of the mean;
 * below 0: less. Never above `excess.percent`, and far below it where another phase deviates now by
 * no more than one always did: NEMA MG 1 counts the size alone, and so does a motor's heat.
 */
export function risenPercent({ a, b, c }: Excess, usual: UnevenStage | null): number {
  const [, usualA, usualB] = usual ?? [0, 0, 0];
  const usualC = -usualA - usualB;
  return largestOf(a + usualA, b + usualB, c + usualC) - largestOf(usualA, usualB, usualC);
}

function largestOf(a: number, b: number, c: number): number {
  return Math.max(Math.abs(a), Math.abs(b), Math.abs(c));
}

/**
 * The very same stages come back when there is nothing to learn.
 *
 * @param index the stage that runs, -1 for one that was never seen
 */
export function learnUneven(
  stages: UnevenStages,
  index: number,
  { a, b, c }: Pick<ThreePhases, 'a' | 'b' | 'c'>,
  atMs: number,
  lastAtMs: number,
): UnevenStages {
  const stage = index < 0 ? null : (stages[index] ?? null);
  const mean = (a + b + c) / 3;
  const percentA = (100 * (a - mean)) / mean;
  const percentB = (100 * (b - mean)) / mean;
  if (stage === null) {
    const first: UnevenStage = [1, rounded(percentA), rounded(percentB), rounded(mean)];
    return withStage(stages, placeForNew(stages), first);
  }
  const [readings, usualA, usualB, usualAmps] = stage;
  const known = readings >= LEARNED_READINGS;
  if (known && Math.floor(atMs / LATER_EVERY_MS) === Math.floor(lastAtMs / LATER_EVERY_MS)) {
    return stages;
  }
  const strays = Math.max(Math.abs(percentA - usualA), Math.abs(percentB - usualB));
  if (known && strays > WANDERS_PERCENT) return stages;
  const step = known ? LATER_STEP_PERCENT : FIRST_STEP_PERCENT;
  // One odd first reading, as of a fan's inrush, must be left behind before the stage is known.
  const fits = strays <= WANDERS_PERCENT;
  return withStage(stages, index, [
    fits ? Math.min(readings + 1, LEARNED_READINGS) : Math.max(readings - 1, 1),
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
