import type { CaseOutcome } from '../running/run-case.ts';
import type { ObservedUnit } from '../scoring/observed-unit.ts';
import { scoreUnits } from '../scoring/score.ts';
import { healthyNames } from './healthy-names.ts';
import { idealCells } from './ideal-column.ts';
import { markdownTable } from './markdown-table.ts';
import { type NumberRow, numberRows } from './numbers.ts';

/** The goals as Markdown, for one judging, and for the ideal detector where it watched. */
export function numbersTable(outcomes: readonly CaseOutcome[], judging: string): string[] {
  const healthy = healthyNames();
  const units = (of: (cohort: string) => boolean): readonly ObservedUnit[] =>
    outcomes.filter(({ cohort }) => of(cohort)).flatMap((one) => one.units[judging] ?? []);
  const rows = numberRows({
    all: scoreUnits(units(() => true)),
    healthy: scoreUnits(units((name) => healthy.all.has(name))),
    plain: scoreUnits(units((name) => healthy.plain.has(name))),
    lookAlikes: scoreUnits(units((name) => healthy.lookAlike.has(name))),
  });
  const ideal = idealCells(outcomes);
  if (ideal === null) return markdownTable(['', 'goal', 'reached', ''], rows.map(cellsOf));
  return markdownTable(
    ['', 'goal', 'reached', '', 'ideal'],
    rows.map((row) => [...cellsOf(row), ideal(row)]),
  );
}

function cellsOf({ title, goal, value, verdict }: NumberRow): string[] {
  return [title, goal, value, verdict === '-' ? '' : verdict];
}
