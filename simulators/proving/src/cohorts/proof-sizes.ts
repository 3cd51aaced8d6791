import type { CasePlan } from './case-plan.ts';
import type { CohortTable } from './cohort-table.ts';
import { COHORTS, type Cohort, caseOf } from './cohorts.ts';

/** How cases are shared out among the cohorts of one class, and how long they run. */
interface ClassSize {
  readonly cohorts: (cohort: Cohort) => boolean;
  /** Cases over what is asked for, since not every one fails, shows or counts. */
  readonly over: number;
  readonly weeks: number;
}

const named = (start: string) => (cohort: Cohort) => cohort.name.startsWith(start);

/** Sudden faults need weeks to be learned before, tracks weeks to grow. */
const CLASS_SIZES: readonly ClassSize[] = [
  // Fewer than half of them open fuses within the run.
  { cohorts: named('track'), over: 2.6, weeks: 10 },
  { cohorts: named('pole to pole'), over: 1, weeks: 8 },
  { cohorts: named('load insulation'), over: 1, weeks: 6 },
  { cohorts: named('water ingress'), over: 1, weeks: 6 },
  { cohorts: (of) => ['phase loss', 'hot fuse clip'].includes(of.name), over: 1.2, weeks: 4 },
  { cohorts: (of) => ['fuses gone', 'compressor grounded'].includes(of.name), over: 1, weeks: 4 },
  { cohorts: named('vermin'), over: 1, weeks: 4 },
  { cohorts: named('unbalance'), over: 2, weeks: 5 },
  { cohorts: named('sensor faults'), over: 1.2, weeks: 4 },
  { cohorts: named('mixed'), over: 0.3, weeks: 8 },
];

/** Unit-years of healthy units for each case that is asked for of a class. */
const HEALTHY_YEARS_A_CASE = 1.5;
const HEALTHY_WEEKS = 13;
const WEEKS_A_YEAR = 52.18;

/**
 * The cases that prove the goals: `cases` of each class, more where some do not count, and healthy
 * unit-years in equal parts for each healthy cohort.
 *
 * @throws RangeError when a cohort belongs to no class.
 */
export function proofPlans(
  table: CohortTable,
  { cases, block }: { readonly cases: number; readonly block: number },
): readonly CasePlan[] {
  return COHORTS.flatMap((cohort) => {
    const { count, weeks } = sizeOf(cohort, cases);
    const { fleet } = caseOf(table, cohort, 0, { weeks, block });
    const units = cohort.healthy === null ? 1 : fleet.units.length;
    return Array.from({ length: Math.ceil(count / units) }, (_, index) => {
      return caseOf(table, cohort, index, { weeks, block });
    });
  });
}

function sizeOf(cohort: Cohort, cases: number): { count: number; weeks: number } {
  if (cohort.healthy !== null) {
    const cohorts = COHORTS.filter(({ healthy }) => healthy !== null).length;
    const years = (cases * HEALTHY_YEARS_A_CASE) / cohorts;
    return { count: Math.ceil((years * WEEKS_A_YEAR) / HEALTHY_WEEKS), weeks: HEALTHY_WEEKS };
  }
  const size = CLASS_SIZES.find(({ cohorts }) => cohorts(cohort));
  if (size === undefined) throw new RangeError(`cohort '${cohort.name}' belongs to no class`);
  const sharing = COHORTS.filter((other) => other.healthy === null && size.cohorts(other)).length;
  return { count: Math.ceil((cases * size.over) / sharing), weeks: size.weeks };
}

/** Unit-weeks that the plans play, as a measure of how long they take. */
export function unitWeeks(plans: readonly CasePlan[]): number {
  const weekMs = 7 * 86_400_000;
  return plans.reduce((sum, { endMs, scenario, fleet }) => {
    return sum + (fleet.units.length * (endMs - scenario.startMs)) / weekMs;
  }, 0);
}
