import type { CasePlan } from '../cohorts/case-plan.ts';
import type { CohortTable } from '../cohorts/cohort-table.ts';
import { COHORTS, type Cohort, caseOf } from '../cohorts/cohorts.ts';
import { REPORTING } from '../cohorts/reporting-table.ts';
import { TUNING } from '../cohorts/tuning-table.ts';
import { RIVAL_NAMES } from '../rivals/rival.ts';
import { HOUSE } from '../running/judgings.ts';
import { runCases } from '../running/run-cases.ts';
import { readTuned } from '../tuning/tuned-file.ts';
import { numbersTable } from './numbers-table.ts';
import { warningTable } from './warning-table.ts';

export interface WarningOptions {
  /** Cases of each cohort with a fault; healthy ones have half, rounded up. */
  readonly cases: number;
  readonly weeks: number;
  /** Block of seeds, 0 or more; another one gives other cases. */
  readonly seed: number;
}

/** Runs the reporting cohorts, judged by us and by the tuned rivals; gives the table. */
export async function proveWarning(
  { cases, weeks, seed }: WarningOptions,
  progress: (done: number, of: number) => void,
): Promise<string> {
  const tuned = readTuned();
  const rivals = RIVAL_NAMES.map((name) => ({ name, settings: tuned[name] }));
  const plans = plansOf(COHORTS, REPORTING, { cases, weeks, seed });
  const outcomes = await runCases(plans, rivals, progress);
  const goals = numbersTable(outcomes, HOUSE).join('\n');
  return `${goals}\n\n${warningTable(outcomes, [HOUSE, ...RIVAL_NAMES])}`;
}

export interface StudyOptions extends WarningOptions {
  /** Only cohorts whose name has this in it; null: all. */
  readonly cohort: string | null;
}

/**
 * Runs tuning cohorts, judged by us alone: for whoever works on a detector. Nobody may look at
 * the reporting cohorts for that.
 *
 * @throws RangeError when no cohort has that in its name.
 */
export async function studyWarning(
  { cohort, ...options }: StudyOptions,
  progress: (done: number, of: number) => void,
): Promise<string> {
  const some = COHORTS.filter(({ name }) => cohort === null || name.includes(cohort));
  if (some.length === 0) {
    const names = COHORTS.map(({ name }) => name).join('; ');
    throw new RangeError(`no cohort has '${cohort}' in its name; there are: ${names}`);
  }
  const outcomes = await runCases(plansOf(some, TUNING, options), [], progress);
  return `${numbersTable(outcomes, HOUSE).join('\n')}\n\n${warningTable(outcomes, [HOUSE])}`;
}

function plansOf(
  cohorts: readonly Cohort[],
  table: CohortTable,
  { cases, weeks, seed }: WarningOptions,
): readonly CasePlan[] {
  return cohorts.flatMap((cohort) =>
    Array.from({ length: cohort.healthy !== null ? Math.ceil(cases / 2) : cases }, (_, index) =>
      caseOf(table, cohort, index, { weeks, block: seed }),
    ),
  );
}
