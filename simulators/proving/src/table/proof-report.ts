import type { CaseOutcome } from '../running/run-case.ts';
import { YEAR_MS } from '../scoring/observed-unit.ts';
import { scoreUnits } from '../scoring/score.ts';
import { GOALS } from './goals.ts';
import { idealSection } from './ideal-column.ts';
import { markdownTable } from './markdown-table.ts';
import { numbersTable } from './numbers-table.ts';
import { sweepResult, sweepTable } from './sweep-table.ts';
import { falseKinds, NOT_THE_FIELD, unitsOf } from './warning-table.ts';

/** What a report says about how it was made. */
export interface ProofStamp {
  readonly command: string;
  /** Day of the run, as ISO 8601. */
  readonly day: string;
  readonly block: number;
  readonly firstSeed: number;
  readonly sources: Readonly<Record<string, string>>;
}

/** The proof as a Markdown page: goals, rivals, the mix of cohorts, all figures by class. */
export function proofReport(
  outcomes: readonly CaseOutcome[],
  judging: string,
  stamp: ProofStamp,
): string {
  const swept = sweepResult(outcomes, judging);
  const lines = [
    '# What was reached',
    '',
    `${NOT_THE_FIELD}. Made by \`${stamp.command}\` on ${stamp.day}; seeds from ` +
      `${stamp.firstSeed}, block ${stamp.block}. Hashes of the sources: ${hashes(stamp)}. ` +
      'The rules of matching stand in [MATCHING.md](../MATCHING.md). Shares have 95 % Wilson ' +
      'intervals, rates exact Poisson limits, medians their quartiles.',
    '',
    '## Goals',
    '',
    ...numbersTable(outcomes, judging),
    '',
    'Cost: `npm run bench -- states` and `npm run bench -- backtest` measure readings a second.',
    '',
    ...(outcomes.some(({ ideal }) => ideal !== undefined) ? [...idealSection(outcomes), ''] : []),
    ...(swept === null ? [] : ['## Rivals, swept', '', ...sweepTable(swept), '']),
    '## Cohorts',
    '',
    'Alarms that nothing explains, by kind.',
    '',
    ...mixTable(outcomes, judging),
    '',
    '## By class',
    '',
    ...classTable(outcomes, judging),
    '',
  ];
  return lines.join('\n');
}

function hashes({ sources }: ProofStamp): string {
  return Object.entries(sources)
    .map(([name, hash]) => `${name} ${hash}`)
    .join(', ');
}

function mixTable(outcomes: readonly CaseOutcome[], judging: string): string[] {
  const names = [...new Set(outcomes.map(({ cohort }) => cohort))];
  const rows = names.map((name) => {
    const own = outcomes.filter(({ cohort }) => cohort === name);
    const units = unitsOf(own, judging);
    const years = units.reduce((sum, { observedMs }) => sum + observedMs, 0) / YEAR_MS;
    return [name, String(own.length), years.toFixed(1), falseKinds(units)];
  });
  return markdownTable(['cohort', 'cases', 'unit-years', 'false alarms'], rows);
}

function classTable(outcomes: readonly CaseOutcome[], judging: string): string[] {
  const score = scoreUnits(unitsOf(outcomes, judging));
  const rows = GOALS.map(({ section, title, cell }) => [section, title, cell(score)]);
  return markdownTable(['', '', ''], rows);
}
