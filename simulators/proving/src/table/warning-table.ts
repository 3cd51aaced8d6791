import { COHORTS } from '../cohorts/cohorts.ts';
import type { CaseOutcome } from '../running/run-case.ts';
import { isExplained } from '../scoring/explained.ts';
import type { ObservedUnit } from '../scoring/observed-unit.ts';
import { type Score, scoreUnits } from '../scoring/score.ts';
import { GOALS, type Goal, HEALTHY_GOALS } from './goals.ts';
import { healthyNames } from './healthy-names.ts';

export const NOT_THE_FIELD = 'simulated; no field performance';

/** The table as text: goals as lines, judgings as columns. */
export function warningTable(
  outcomes: readonly CaseOutcome[],
  judgings: readonly string[],
): string {
  const healthy = outcomes.filter(({ cohort }) => healthyNames().all.has(cohort));
  const lines = [
    ['', ...judgings],
    ...linesOf(GOALS, outcomes, judgings),
    ...linesOf(HEALTHY_GOALS, healthy, judgings),
    ...falseByCohort(outcomes, judgings),
  ];
  const notes = 'shares with 95 % Wilson intervals in per cent; medians with quartiles';
  return [NOT_THE_FIELD, notes, '', ...aligned(lines), '', NOT_THE_FIELD].join('\n');
}

function linesOf(
  goals: readonly Goal[],
  outcomes: readonly CaseOutcome[],
  judgings: readonly string[],
): string[][] {
  const scores = judgings.map((name) => scoreUnits(unitsOf(outcomes, name)));
  let section = '';
  return goals.flatMap((goal) => {
    const cells = scores.map((score: Score) => goal.cell(score));
    const line = [`  ${goal.title}`, ...cells];
    if (goal.section === section) return [line];
    section = goal.section;
    return [[section, ...judgings.map(() => '')], line];
  });
}

/** Where the false alarms come from: of each cohort how many, in how many unit-years. */
function falseByCohort(outcomes: readonly CaseOutcome[], judgings: readonly string[]): string[][] {
  const lines = COHORTS.map(({ name }) => {
    const own = outcomes.filter(({ cohort }) => cohort === name);
    return [`  ${name}`, ...judgings.map((judging) => falseKinds(unitsOf(own, judging)))];
  });
  return [['false alarms by cohort', ...judgings.map(() => '')], ...lines];
}

/** `7: leakage 4, moisture 3`. */
export function falseKinds(units: readonly ObservedUnit[]): string {
  const counts = new Map<string, number>();
  let total = 0;
  for (const { alarms, truth } of units) {
    for (const alarm of alarms) {
      if (isExplained(alarm, truth)) continue;
      counts.set(alarm.kind, (counts.get(alarm.kind) ?? 0) + 1);
      total += 1;
    }
  }
  if (total === 0) return '0';
  const kinds = [...counts].toSorted(([, one], [, other]) => other - one);
  return `${total}: ${kinds.map(([kind, count]) => `${kind} ${count}`).join(', ')}`;
}

export function unitsOf(outcomes: readonly CaseOutcome[], name: string): readonly ObservedUnit[] {
  return outcomes.flatMap(({ units }) => units[name] ?? []);
}

function aligned(lines: readonly (readonly string[])[]): string[] {
  const widths: number[] = [];
  for (const line of lines) {
    for (const [column, cell] of line.entries()) {
      widths[column] = Math.max(widths[column] ?? 0, cell.length);
    }
  }
  return lines.map((line) =>
    line
      .map((cell, column) => cell.padEnd(widths[column] ?? 0))
      .join('  ')
      .trimEnd(),
  );
}
