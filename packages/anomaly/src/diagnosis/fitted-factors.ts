import type { Cause, FindingKind } from '../vocabulary.ts';
import type { MarkName } from './evidence-table.ts';

/** What a factor of the table is multiplied by, for one kind; `odds`: the odds before any mark. */
export type FittedRow = readonly [
  kind: FindingKind,
  of: MarkName | 'odds',
  cause: Cause,
  times: number,
];

export const FITTED: readonly FittedRow[] = [];
