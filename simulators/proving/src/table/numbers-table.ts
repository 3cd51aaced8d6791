import type { CaseOutcome } from '../running/run-case.ts';
import type { ObservedUnit } from '../scoring/observed-unit.ts';
import { scoreUnits } from '../scoring/score.ts';
import { healthyNames } from './healthy-names.ts';
import { type NumberRow, numberRows } from './numbers.ts';

/** The goals as Markdown, for one judging. */
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
  return markdownTable(['', 'goal', 'reached', ''], rows.map(cellsOf));
}

function cellsOf({ title, goal, value, verdict }: NumberRow): string[] {
  return [title, goal, value, verdict === '-' ? '' : verdict];
}

/** Columns padded to one width, as the formatter of the project leaves them. */
export function markdownTable(
  heads: readonly string[],
  rows: readonly (readonly string[])[],
): string[] {
  const widths = heads.map((head, column) =>
    Math.max(3, head.length, ...rows.map((row) => (row[column] ?? '').length)),
  );
  const line = (cells: readonly string[]): string =>
    `| ${widths.map((width, column) => (cells[column] ?? '').padEnd(width)).join(' | ')} |`;
  const rule = `| ${widths.map((width) => '-'.repeat(width)).join(' | ')} |`;
  return [line(heads), rule, ...rows.map(line)];
}
