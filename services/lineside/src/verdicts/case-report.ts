import { type CaseComparison, type CaseCounts, type LabelledCase, rfc3339 } from '@lineside/alarms';

const COLUMNS: readonly (readonly [keyof CaseCounts, string])[] = [
  ['kind', 'kind'],
  ['true', 'true'],
  ['raisedAgain', 'raised again'],
  ['causeKnown', 'cause known'],
  ['causeNamed', 'named first'],
  ['false', 'false'],
  ['noLongerRaised', 'no longer raised'],
  ['unclear', 'unclear'],
  ['outside', 'outside'],
];

/** A table for people, one line a kind. */
export function caseTable({ counts }: CaseComparison): string {
  const rows = [
    COLUMNS.map(([, title]) => title),
    ...counts.map((count) => COLUMNS.map(([name]) => String(count[name]))),
  ];
  const widths = COLUMNS.map((_, at) => Math.max(...rows.map((row) => row[at]?.length ?? 0)));
  const lines = rows.map((row) =>
    row.map((cell, at) =>
      at === 0 ? cell.padEnd(widths[at] ?? 0) : cell.padStart(widths[at] ?? 0),
    ),
  );
  const table = lines.map((cells) => cells.join('  ').trimEnd());
  return ['labelled cases in this back-test:', ...table, ''].join('\n');
}

/** The same for programs, with the cases that went wrong. */
export function caseJson({ counts, missed, raisedStill }: CaseComparison): string {
  const report = { counts, missed: missed.map(lineOf), raisedStill: raisedStill.map(lineOf) };
  return JSON.stringify(report, null, 2);
}

function lineOf({ site, unit, kind, raisedAtMs, cause }: LabelledCase): object {
  return { site, unit, kind, raised: rfc3339(raisedAtMs), cause };
}
