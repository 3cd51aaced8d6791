import type { Cause, CauseEstimate, FindingKind } from '../vocabulary.ts';
import { counted, LEAST_PROBABLE, MOST_PROBABLE, type Seen } from './diagnose.ts';
import { MARKS } from './evidence-table.ts';
import { HYPOTHESES } from './hypotheses.ts';

/** Reasons that are kept of a cause, the newest evidence first. */
const MOST_REASONS = 4;

/**
 * Causes that were stated, with evidence that came later taken in: each probability times the
 * factor of the new marks, made to sum to one again. For whoever has the causes but not the marks
 * they were judged from.
 *
 * @param seen new marks only: one that was counted already would count twice.
 * @returns most probable first, bounded and rounded as `diagnose` does.
 */
export function updated(
  kind: FindingKind,
  stated: readonly CauseEstimate[],
  seen: readonly Seen[],
): readonly CauseEstimate[] {
  const marks = counted(seen);
  const before = withUnstated(kind, stated);
  const weighed = before.map((estimate) => {
    const { cause } = estimate;
    const factors = marks.map(({ mark }) => MARKS[mark].factors[cause] ?? 1);
    const weight = factors.reduce((product, factor) => product * factor, estimate.probability);
    const news = marks
      .filter(({ mark }) => (MARKS[mark].factors[cause] ?? 1) > 1)
      .map(({ mark, words }) => words ?? MARKS[mark].words);
    const because = [...news, ...estimate.because].slice(0, MOST_REASONS);
    return { cause, weight, because };
  });
  const sum = weighed.reduce((total, { weight }) => total + weight, 0);
  return weighed
    .map(({ cause, weight, because }) => {
      const share = Math.min(weight / sum, MOST_PROBABLE);
      return { cause, probability: Math.floor(share * 100 + 1e-6) / 100, because };
    })
    .filter(({ probability }) => probability >= LEAST_PROBABLE)
    .sort((first, second) => second.probability - first.probability);
}

/** What was left out as too small to state is still possible. */
function withUnstated(
  kind: FindingKind,
  stated: readonly CauseEstimate[],
): readonly CauseEstimate[] {
  const known = new Set<Cause>(stated.map(({ cause }) => cause));
  const unstated = HYPOTHESES[kind].filter(({ cause }) => !known.has(cause));
  return [
    ...stated,
    ...unstated.map(({ cause }) => ({ cause, probability: LEAST_PROBABLE / 2, because: [] })),
  ];
}
