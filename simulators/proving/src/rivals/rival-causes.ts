import type { CauseEstimate } from '@lineside/anomaly';
import type { Signal } from './signals.ts';

/**
 * What a rival names as the cause. A chart knows none; it gets the trade's plainest rule, so that
 * the comparison is not won by silence: leakage that is out at rest is on the line side, out only
 * while running it is in the load.
 */
export function rivalCauses(
  signal: Signal,
  restingOut: boolean,
  runningOut: boolean,
): readonly CauseEstimate[] {
  if (signal === 'unbalance') return named('worn-pole-or-connection', 'unbalanced while running');
  if (signal === 'moisture') return named('water-ingress', 'more vapour inside than outside');
  if (restingOut) return named('line-side-track-to-ground', 'leaks with all loads off');
  return runningOut
    ? named('load-insulation', 'leaks only while loads run')
    : named('unknown', 'seen in no state for certain');
}

function named(cause: CauseEstimate['cause'], reason: string): readonly CauseEstimate[] {
  if (cause === 'unknown') return [{ cause, probability: 1, because: [reason] }];
  return [
    { cause, probability: 0.7, because: [reason] },
    { cause: 'unknown', probability: 0.3, because: [] },
  ];
}
