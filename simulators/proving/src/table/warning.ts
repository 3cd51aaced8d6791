import type { CasePlan } from '../cohorts/case-plan.ts';
import type { CohortTable } from '../cohorts/cohort-table.ts';
import { COHORTS, type Cohort, caseOf } from '../cohorts/cohorts.ts';
import { proofPlans, unitWeeks } from '../cohorts/proof-sizes.ts';
import { REPORTING } from '../cohorts/reporting-table.ts';
import { TUNING } from '../cohorts/tuning-table.ts';
import { PICTURES_FOLDER, provedPictures, writePictures } from '../pictures/pictures.ts';
import { RIVAL_NAMES } from '../rivals/rival.ts';
import { HOUSE } from '../running/judgings.ts';
import { OutcomeStore, slimmed } from '../running/outcome-store.ts';
import { runCases, runOrders } from '../running/run-cases.ts';
import { readTuned } from '../tuning/tuned-file.ts';
import { healthyNames } from './healthy-names.ts';
import { numbersTable } from './numbers-table.ts';
import { proofReport } from './proof-report.ts';
import { STAMPED, sourceStamp } from './source-stamp.ts';
import { warningTable } from './warning-table.ts';

export interface WarningOptions {
  /** Cases of each cohort with a fault; healthy ones have half, rounded up. */
  readonly cases: number;
  readonly weeks: number;
  /** Block of seeds, 0 or more; another one gives other cases. */
  readonly seed: number;
}

export interface ProofOptions {
  /** Cases of each class; healthy unit-years are one and a half times as many. */
  readonly cases: number;
  /** Block of seeds, 0 or more; another one gives other cases. */
  readonly seed: number;
  /** The command line, for the report. */
  readonly command: string;
  /** Day of the run, as ISO 8601. */
  readonly day: string;
}

/**
 * Plays the reporting cohorts, judged by us, rivals swept beside; gives the report. What is done is
 * kept in a file, so that a run that was interrupted goes on.
 */
export async function proveGoals(
  { cases, seed, command, day }: ProofOptions,
  progress: (done: number, of: number, unitWeeks: number) => void,
): Promise<string> {
  const plans = proofPlans(REPORTING, { cases, block: seed });
  const sources = Object.fromEntries(
    Object.entries(STAMPED).map(([name, paths]) => [name, sourceStamp(paths)]),
  );
  const store = new OutcomeStore(PARTIAL_FILE, JSON.stringify({ cases, seed, sources }));
  const sweep = readTuned();
  const orders = plans
    .map((plan, index) => {
      return { index, plan, rivals: [], sweep: isSwept(plan) ? sweep : null, ideal: true };
    })
    .filter(({ index }) => store.get(index) === null);
  const before = plans.length - orders.length;
  const weeks = unitWeeks(plans);
  await runOrders(orders, (done, _of, outcome, index) => {
    store.keep(index, slimmed(outcome));
    progress(before + done, plans.length, weeks);
  });
  const outcomes = plans.flatMap((_, index) => store.get(index) ?? []);
  const stamp = { command, day, block: seed, firstSeed: REPORTING.firstSeed, sources };
  const report = proofReport(outcomes, HOUSE, stamp);
  writePictures(provedPictures(outcomes), PICTURES_FOLDER);
  store.remove();
  return report;
}

/** Where a run keeps what is done, and where its report goes. */
const PARTIAL_FILE: URL = new URL('../../results/warning.partial.ndjson', import.meta.url);
export const REPORT_FILE: URL = new URL('../../results/warning.md', import.meta.url);

/** Rivals are compared by tracks and by healthy units. */
function isSwept({ cohort }: CasePlan): boolean {
  return cohort.startsWith('track') || healthyNames().all.has(cohort);
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
