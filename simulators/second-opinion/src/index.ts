export { PLAIN_COHORTS, type PlainCohort, plainCase } from './cohorts/plain-cohorts.ts';
export type { PlainFault, PlainLookAlike, PlainPlan, PlainUnitPlan } from './plan.ts';
export { DEVELOPMENT_BLOCKS, FIRST_REPORTED_BLOCK } from './ranges.ts';
export { type PlainSink, runPlain } from './run-plain.ts';
