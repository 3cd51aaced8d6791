import type { FindingKind } from '@lineside/anomaly';
import type { Features } from './features.ts';

/** What the rivals judge by a rule that differs among them. */
export const SIGNALS = ['leakage', 'moisture', 'unbalance'] as const;
export type Signal = (typeof SIGNALS)[number] & FindingKind;

/** Loads off, or on: each has its own history, since a filter or a motor leaks only when on. */
export type LoadState = 'idle' | 'running';

export function signalValue(signal: Signal, features: Features): number | null {
  if (signal === 'leakage') return features.leakageMilliamps;
  return signal === 'moisture' ? features.excessPascals : features.unbalancePercent;
}

/** Names of the figure in an alarm's evidence. */
export const EVIDENCE_NAMES: Readonly<Record<Signal, string>> = {
  leakage: 'leakageMilliamps',
  moisture: 'vapourPressureExcessPascals',
  unbalance: 'currentUnbalancePercent',
};

/**
 * A smaller spread than this is the sensor's, not the unit's: mA, Pa (3 %RH at 25 C are 95 Pa), per
 * cent. Common practice, no source.
 */
export const LEAST_SPREAD: Readonly<Record<Signal, number>> = {
  leakage: 0.1,
  moisture: 30,
  unbalance: 0.3,
};
