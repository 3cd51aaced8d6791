import type { Cause, FindingKind } from '../vocabulary.ts';
import type { MarkName } from './evidence-table.ts';

/** What a factor of the table is multiplied by, for one kind; `odds`: the odds before any mark. */
export type FittedRow = readonly [
  kind: FindingKind,
  of: MarkName | 'odds',
  cause: Cause,
  times: number,
];

/**
 * Fitted on simulated units by 'npm run bench -- calibrate': tuning cohorts, 3 cases,
 * 8 weeks, blocks of seeds: 1. Alarms, of which a kind needs 30:
 * moisture 178, phase-track 1, unbalance 7, phase-loss 7, repeat-fuse 3, sensor 8.
 */
export const FITTED: readonly FittedRow[] = [
  ['moisture', 'odds', 'water-ingress', 0.74],
  ['moisture', 'odds', 'condensation', 0.82],
  ['moisture', 'odds', 'humid-weather', 0.95],
  ['moisture', 'odds', 'line-side-track-to-ground', 1.57],
  ['moisture', 'odds', 'unknown', 0.82],
  ['moisture', 'vapour-excess-after-rain', 'water-ingress', 0.95],
  ['moisture', 'wetting-by-dew', 'water-ingress', 0.86],
  ['moisture', 'wetting-by-dew', 'condensation', 0.86],
  ['moisture', 'wetting-by-weather', 'water-ingress', 0.82],
  ['moisture', 'wetting-by-weather', 'humid-weather', 0.95],
  ['moisture', 'wetting-source-unclear', 'unknown', 1.16],
  ['moisture', 'no-outdoor-reference', 'unknown', 0.95],
  ['moisture', 'leakage-answers-the-wetting', 'line-side-track-to-ground', 1.57],
  ['moisture', 'answers-with-contactors-open', 'line-side-track-to-ground', 1.49],
  ['moisture', 'two-fuses-opened', 'line-side-track-to-ground', 1.11],
];
