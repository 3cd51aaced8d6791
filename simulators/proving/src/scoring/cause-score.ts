import type { FindingKind } from '@lineside/anomaly';
import { type CauseJudgement, rightCauses } from './leading-cause.ts';
import type { ObservedUnit } from './observed-unit.ts';
import { type Proportion, proportionOf } from './proportion.ts';

/** A stated probability beside whether it came true. */
interface Stated {
  readonly kind: FindingKind;
  readonly probability: number;
  readonly isRight: boolean;
}

/** Judgements whose leading probability lay in one bin, [from, to). */
interface ReliabilityBin {
  readonly from: number;
  readonly to: number;
  /** Mean of what was stated; null for an empty bin. */
  readonly stated: number | null;
  readonly right: Proportion;
}

/** How far the probability of the leading cause can be believed. */
export interface CauseScore {
  readonly judgements: number;
  /** G. W. Brier 1950, of the leading cause: mean of (stated - right)^2. Null without judgements. */
  readonly brier: number | null;
  /** The same for each alarm by its newest judgement. */
  readonly brierNewest: number | null;
  readonly brierByKind: Readonly<Partial<Record<FindingKind, { brier: number; of: number }>>>;
  readonly bins: readonly ReliabilityBin[];
}

/** Edges of the bins of stated probability, ascending. */
export const BIN_EDGES: readonly number[] = [0, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.000001];

/** Scores each priority step of each alarm, false alarms among them. */
export function scoreCauses(units: readonly ObservedUnit[]): CauseScore {
  const steps = units.flatMap((unit) => statedOf(unit, 'steps'));
  const newest = units.flatMap((unit) => statedOf(unit, 'newest'));
  return {
    judgements: steps.length,
    brier: brierOf(steps),
    brierNewest: brierOf(newest),
    brierByKind: byKind(steps),
    bins: binsOf(steps),
  };
}

/** What was stated of a unit: by each step at a priority first reached, or by the newest. */
function statedOf(unit: ObservedUnit, by: 'steps' | 'newest'): readonly Stated[] {
  return unit.alarms.flatMap((alarm) => {
    const { kind, causes } = alarm;
    const steps = alarm.priorities.filter(
      ({ priority }, index, all) => all.findIndex((step) => step.priority === priority) === index,
    );
    const lastStepMs = alarm.priorities.at(-1)?.sinceMs ?? alarm.raisedAtMs;
    const judgements: readonly CauseJudgement[] =
      by === 'newest'
        ? [{ kind, causes, atMs: lastStepMs }]
        : steps.map((step) => ({ kind, causes: step.causes, atMs: step.sinceMs }));
    return judgements.flatMap((judgement) => {
      const top = judgement.causes[0];
      if (top === undefined) return [];
      const isRight = rightCauses(judgement, alarm, unit.truth).has(top.cause);
      return [{ kind, probability: top.probability, isRight }];
    });
  });
}

/** @returns null when nothing was stated. */
export function brierOf(stated: readonly Stated[]): number | null {
  if (stated.length === 0) return null;
  const sum = stated.reduce(
    (total, { probability, isRight }) => total + (probability - (isRight ? 1 : 0)) ** 2,
    0,
  );
  return sum / stated.length;
}

function byKind(stated: readonly Stated[]): CauseScore['brierByKind'] {
  const kinds = new Set(stated.map(({ kind }) => kind));
  return Object.fromEntries(
    [...kinds].sort().map((kind) => {
      const own = stated.filter((one) => one.kind === kind);
      return [kind, { brier: brierOf(own) ?? 0, of: own.length }];
    }),
  );
}

function binsOf(stated: readonly Stated[]): readonly ReliabilityBin[] {
  return BIN_EDGES.slice(0, -1).map((from, index) => {
    const to = BIN_EDGES[index + 1] ?? 1;
    const own = stated.filter(({ probability }) => probability >= from && probability < to);
    const sum = own.reduce((total, { probability }) => total + probability, 0);
    return {
      from,
      to: Math.min(to, 1),
      stated: own.length === 0 ? null : sum / own.length,
      right: proportionOf(own, ({ isRight }) => isRight),
    };
  });
}
