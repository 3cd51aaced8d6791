import { randomStream } from '@lineside/rooftop';
import { type CaseDraw, type CaseIdea, type CasePlan, planCase, runSpan } from './case-plan.ts';
import { type CohortTable, caseSeed } from './cohort-table.ts';
import * as faults from './fault-ideas.ts';
import * as fits from './fit-ideas.ts';
import { FIT_NAMES, fitted } from './fit-ideas.ts';
import { LOOK_ALIKE_IDEAS, LOOK_ALIKE_NAMES } from './look-alike-ideas.ts';
import { oneOf } from './ranges.ts';

/** A named kind of cases. */
export interface Cohort {
  readonly name: string;
  /**
   * Whether nothing is wrong with its units, so that any alarm is false: with nothing beside them,
   * or with something that looks like a fault; null: they have faults.
   */
  readonly healthy: 'plain' | 'look-alike' | null;
  readonly idea: (draw: CaseDraw) => CaseIdea;
}

const FAULT_COHORTS: readonly Cohort[] = [
  cohort('track, windy harbour', (draw) =>
    faults.trackToGround(draw, { climate: 'windy-harbour' }),
  ),
  cohort('track, humid coast', (draw) => faults.trackToGround(draw, { climate: 'humid-coast' })),
  cohort('track, high plain', (draw) => faults.trackToGround(draw, { climate: 'high-plain' })),
  cohort('track, rainy valley', (draw) => faults.trackToGround(draw, { climate: 'rainy-valley' })),
  cohort('track, corner-grounded', (draw) =>
    faults.trackToGround(draw, { grounding: 'corner-grounded-delta' }),
  ),
  cohort('track, high-leg', (draw) => faults.trackToGround(draw, { grounding: 'high-leg-delta' })),
  cohort('track, not solidly grounded', (draw) =>
    faults.trackToGround(draw, {
      grounding: oneOf(draw.random, ['ungrounded', 'high-resistance']),
    }),
  ),
  cohort('pole to pole', faults.poleToPole),
  cohort('load insulation', faults.loadInsulation),
  cohort('water ingress', faults.waterIngress),
  cohort('phase loss', faults.phaseLoss),
  cohort('fuses gone', faults.fusesGone),
  cohort('vermin', faults.vermin),
  cohort('unbalance', faults.unbalance),
  cohort('sensor faults', faults.sensorFault),
  cohort('mixed', mixed),
];

const HEALTHY_COHORTS: readonly Cohort[] = [
  { name: 'healthy', healthy: 'plain', idea: () => ({ script: {} }) },
  ...LOOK_ALIKE_NAMES.map((name) => ({
    name: `healthy, ${name}`,
    healthy: 'look-alike' as const,
    idea: LOOK_ALIKE_IDEAS[name],
  })),
];

const LATER_COHORTS: readonly Cohort[] = [
  ...FIT_NAMES.map((fit) => ({
    name: `healthy, ${fit}`,
    healthy: 'plain' as const,
    idea: () => fitted({ script: {} }, fit),
  })),
  lookAlike('building air', fits.buildingAir),
  lookAlike('frozen snow', fits.frozenSnow),
  lookAlike('humidity sticks', fits.humiditySticks),
  lookAlike('gateway loss', fits.gatewayLoss),
  ...FIT_NAMES.map((fit) =>
    cohort(`track, ${fit}`, (draw) => fitted(faults.trackToGround(draw, {}), fit)),
  ),
  cohort('track, other climates', faults.trackElsewhere),
  cohort('hot fuse clip', faults.hotFuseClip),
  cohort('compressor grounded', faults.compressorGrounded),
  cohort('unbalance just above', (draw) => faults.looseTerminal(draw, 'abovePercent')),
  cohort('unbalance just below', (draw) => faults.looseTerminal(draw, 'belowPercent')),
];

/** In the order of their seeds: a new cohort goes to the end. */
export const COHORTS: readonly Cohort[] = [...FAULT_COHORTS, ...HEALTHY_COHORTS, ...LATER_COHORTS];

/**
 * The case of a cohort with this index: the same table, block and weeks give the same plan.
 *
 * @throws RangeError for a cohort that is not in `COHORTS`.
 */
export function caseOf(
  table: CohortTable,
  of: Cohort,
  caseIndex: number,
  options: { readonly weeks: number; readonly block: number },
): CasePlan {
  const cohortIndex = COHORTS.indexOf(of);
  if (cohortIndex < 0) throw new RangeError(`there is no cohort '${of.name}'`);
  const seed = caseSeed(table, options.block, cohortIndex, caseIndex);
  const random = randomStream(seed, `plan/${of.name}`);
  const draw = { random, ranges: table.ranges, ...runSpan(options.weeks) };
  return planCase(of.name, seed, of.idea(draw), draw);
}

function lookAlike(name: string, idea: Cohort['idea']): Cohort {
  return { name: `healthy, ${name}`, healthy: 'look-alike', idea };
}

function cohort(name: string, idea: (draw: CaseDraw) => CaseIdea): Cohort {
  return { name, healthy: null, idea };
}

/** Two things at once: a fault that grows, and a look-alike beside it. */
function mixed(draw: CaseDraw): CaseIdea {
  const { random } = draw;
  const slow = oneOf(random, [faults.loadInsulation, trackAnywhere, faults.unbalance])(draw);
  const look = LOOK_ALIKE_IDEAS[oneOf(random, MIXED_LOOK_ALIKES)](draw);
  return { ...slow, script: { ...slow.script, ...look.script } };
}

const MIXED_LOOK_ALIKES = [
  'transformer-drift',
  'residual-load-error',
  'surge-arrester',
  'service-outlet',
] as const;

function trackAnywhere(draw: CaseDraw): CaseIdea {
  return faults.trackToGround(draw, {});
}
