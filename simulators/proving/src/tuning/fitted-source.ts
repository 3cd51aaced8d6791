import type { Calibration } from './calibrate.ts';

/** Where the fitted multipliers stand; the same from the build. */
export const FITTED_FILE: URL = new URL(
  '../../../../packages/anomaly/src/diagnosis/fitted-factors.ts',
  import.meta.url,
);

/** The file that `calibrate` writes, as source text in the house's format. */
export function fittedSource({ rows, made }: Calibration): string {
  const quoted = (word: string): string => `'${word}'`;
  const lines = rows.map(
    ([kind, of, cause, times]) => `  [${quoted(kind)}, ${quoted(of)}, ${quoted(cause)}, ${times}],`,
  );
  const list = rows.length === 0 ? '[];' : `[\n${lines.join('\n')}\n];`;
  return `import type { Cause, FindingKind } from '../vocabulary.ts';
import type { MarkName } from './evidence-table.ts';

/** What a factor of the table is multiplied by, for one kind; \`odds\`: the odds before any mark. */
export type FittedRow = readonly [
  kind: FindingKind,
  of: MarkName | 'odds',
  cause: Cause,
  times: number,
];

/**
${made.map((line) => ` * ${line}`).join('\n')}
 */
export const FITTED: readonly FittedRow[] = ${list}
`;
}
