import type { Ranges } from './ranges.ts';

/** Parameter ranges and seeds that belong together: for tuning, or for reporting. */
export interface CohortTable {
  readonly purpose: 'tuning' | 'reporting';
  readonly firstSeed: number;
  readonly ranges: Ranges;
}

/** A cohort has no more cases than this in one block of seeds. */
export const CASES_MOST = 1000;
/** Seeds of one block: all cases of all cohorts; there is room for a hundred cohorts. */
export const SEEDS_A_BLOCK: number = 100 * CASES_MOST;

/**
 * The seed of a case. Blocks keep runs with another `--seed` apart.
 *
 * @throws RangeError outside of the block.
 */
export function caseSeed(
  table: CohortTable,
  block: number,
  cohortIndex: number,
  caseIndex: number,
): number {
  if (!(caseIndex >= 0 && caseIndex < CASES_MOST)) {
    throw new RangeError(`a cohort has at most ${CASES_MOST} cases, there is no case ${caseIndex}`);
  }
  return table.firstSeed + block * SEEDS_A_BLOCK + cohortIndex * CASES_MOST + caseIndex;
}
