import type { Cause, CauseEstimate, FindingKind } from '../vocabulary.ts';
import { MARKS, type MarkName } from './evidence-table.ts';
import { FITTED, type FittedRow } from './fitted-factors.ts';
import { HYPOTHESES, type Hypothesis } from './hypotheses.ts';

/** Something seen that speaks for or against causes. */
export interface Mark {
  readonly mark: MarkName;
  /** Words with this unit's figures; else those of the table. */
  readonly words?: string;
}

/** A name, or a name with words. */
export type Seen = MarkName | Mark;

/** The world is wider than any model of it: no cause is ever surer, whatever the marks say. */
export const MOST_PROBABLE = 0.95;
/** Below this a cause is not worth a technician's reading; its share is left unstated. */
export const LEAST_PROBABLE = 0.02;
/** Named causes beside `unknown`; more would not be read with cold hands. */
const MOST_NAMED = 3;
/** Reasons of a cause, strongest first; more would not be read either. */
const MOST_REASONS = 4;

/** Multipliers of the table by kind, mark and cause. */
export type Fitted = (kind: FindingKind, of: MarkName | 'odds', cause: Cause) => number;

/** @param rows at most one for each kind, mark and cause; what has none keeps the table's factor. */
export function fittedOf(rows: readonly FittedRow[]): Fitted {
  const times = new Map(rows.map(([kind, of, cause, by]) => [`${kind} ${of} ${cause}`, by]));
  return (kind, of, cause) => times.get(`${kind} ${of} ${cause}`) ?? 1;
}

const SHIPPED: Fitted = fittedOf(FITTED);

/**
 * Ranks the causes of a finding by its marks: odds before any mark times the factor of each mark,
 * made to sum to one (Bayes' rule, marks of one group counted once, others as independent given
 * the cause). Each mark counts once, in any order.
 *
 * @returns most probable first; at most three named causes, and `unknown` with the rest. Each
 *   probability from 0.02 to 0.95, to the hundredth; they sum to at most 1.
 */
export function diagnose(
  kind: FindingKind,
  seen: readonly Seen[],
  fitted: Fitted = SHIPPED,
): readonly CauseEstimate[] {
  const marks = counted(seen);
  const posterior = posteriorOf(kind, marks, fitted);
  const named = HYPOTHESES[kind]
    .filter(({ cause }) => cause !== 'unknown')
    .map((hypothesis) => estimate(kind, hypothesis, posterior, marks, fitted))
    .filter(({ probability }) => probability >= LEAST_PROBABLE)
    .sort(byProbability)
    .slice(0, MOST_NAMED);
  const unknown = HYPOTHESES[kind].find(({ cause }) => cause === 'unknown');
  const stated = named.reduce((sum, { probability }) => sum + probability, 0);
  const left = Math.min(hundredths(1 - stated), MOST_PROBABLE);
  const rest: CauseEstimate = {
    cause: 'unknown',
    probability: left,
    because: unknown === undefined ? [] : reasonsOf(kind, unknown, marks, fitted),
  };
  return (left >= LEAST_PROBABLE ? [...named, rest] : named).sort(byProbability);
}

/** Probability of each cause of the kind, before it is bounded and rounded; they sum to 1. */
export function posteriorOf(
  kind: FindingKind,
  marks: readonly Pick<Mark, 'mark'>[],
  fitted: Fitted,
): ReadonlyMap<Cause, number> {
  const weights = HYPOTHESES[kind].map(({ cause, odds }) => {
    const weight = marks.reduce(
      (product, { mark }) => product * factorOf(kind, mark, cause, fitted),
      odds * fitted(kind, 'odds', cause),
    );
    return [cause, weight] as const;
  });
  const sum = weights.reduce((total, [, weight]) => total + weight, 0);
  return new Map(weights.map(([cause, weight]) => [cause, weight / sum]));
}

/** The marks that count: each once, of a group the first in the table; in the table's order. */
export function counted(seen: readonly Seen[]): readonly Mark[] {
  const byName = new Map<MarkName, Mark>();
  for (const one of seen) {
    const mark = typeof one === 'string' ? { mark: one } : one;
    if (!byName.has(mark.mark)) byName.set(mark.mark, mark);
  }
  const groups = new Set<string>();
  return IN_ORDER.flatMap((name) => {
    const mark = byName.get(name);
    if (mark === undefined) return [];
    const { group } = MARKS[name];
    if (group === null) return [mark];
    if (groups.has(group)) return [];
    groups.add(group);
    return [mark];
  });
}

const IN_ORDER = Object.keys(MARKS) as readonly MarkName[];

function factorOf(kind: FindingKind, mark: MarkName, cause: Cause, fitted: Fitted): number {
  const factor = MARKS[mark].factors[cause];
  return factor === undefined ? 1 : factor * fitted(kind, mark, cause);
}

function estimate(
  kind: FindingKind,
  hypothesis: Hypothesis,
  posterior: ReadonlyMap<Cause, number>,
  marks: readonly Mark[],
  fitted: Fitted,
): CauseEstimate {
  const { cause } = hypothesis;
  return {
    cause,
    probability: hundredths(Math.min(posterior.get(cause) ?? 0, MOST_PROBABLE)),
    because: reasonsOf(kind, hypothesis, marks, fitted),
  };
}

/** Words of the marks that speak for a cause, strongest first. */
function reasonsOf(
  kind: FindingKind,
  { cause, words }: Hypothesis,
  marks: readonly Mark[],
  fitted: Fitted,
): readonly string[] {
  const reasons = marks
    .map((mark) => ({ mark, factor: factorOf(kind, mark.mark, cause, fitted) }))
    .filter(({ mark, factor }) => factor > 1 && (MARKS[mark.mark].factors[cause] ?? 1) > 1)
    .sort((first, second) => second.factor - first.factor)
    .slice(0, MOST_REASONS)
    .map(({ mark }) => mark.words ?? MARKS[mark.mark].words);
  if (reasons.length > 0 || words === null) return reasons;
  return [words];
}

function byProbability(first: CauseEstimate, second: CauseEstimate): number {
  return second.probability - first.probability;
}

/** Downwards, so that a sum of them never passes 1. */
function hundredths(probability: number): number {
  return Math.floor(probability * 100 + 1e-6) / 100;
}

/** The marks as one evidence entry, so that a reader, and whoever fits, can see what was judged from. */
export function marksText(seen: readonly Seen[]): string {
  return counted(seen)
    .map(({ mark }) => mark)
    .join(' ');
}
