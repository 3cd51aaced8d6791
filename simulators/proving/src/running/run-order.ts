import { leakageFigures } from '../sweep/leakage-figures.ts';
import { sweepJudgings } from '../sweep/sweep-judge.ts';
import { type CaseOrder, judgingsOf } from './batch.ts';
import { type CaseOutcome, runCase } from './run-case.ts';

/**
 * Runs one case as ordered. Of swept rivals only the figures are kept: they cry wolf by thousands.
 */
export function runOrder({ plan, rivals, sweep, ideal }: CaseOrder): CaseOutcome {
  const judgings = judgingsOf(rivals);
  if (sweep === null) return runCase(plan, judgings, ideal);
  const swept = sweepJudgings(sweep);
  const { units, ...outcome } = runCase(plan, [...judgings, ...swept], ideal);
  const kept = judgings.map(({ name }) => [name, units[name] ?? []] as const);
  const figures = swept.map(({ name }) => [name, leakageFigures(units[name] ?? [])] as const);
  return { ...outcome, units: Object.fromEntries(kept), sweep: Object.fromEntries(figures) };
}
