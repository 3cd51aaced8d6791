import { COHORTS, caseOf } from '../cohorts/cohorts.ts';
import { REPORTING } from '../cohorts/reporting-table.ts';
import { RIVAL_NAMES } from '../rivals/rival.ts';
import { HOUSE } from '../running/judgings.ts';
import { runCases } from '../running/run-cases.ts';
import { readTuned } from '../tuning/tuned-file.ts';
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
  const plans = COHORTS.flatMap((cohort) =>
    Array.from({ length: cohort.healthy ? Math.ceil(cases / 2) : cases }, (_, index) =>
      caseOf(REPORTING, cohort, index, { weeks, block: seed }),
    ),
  );
  const outcomes = await runCases(plans, rivals, progress);
  return warningTable(outcomes, [HOUSE, ...RIVAL_NAMES]);
}
