import type { Cause, CauseEstimate, FindingKind, Priority } from '@lineside/anomaly';

export const PRIORITY_WORDS: Readonly<Record<Priority, string>> = {
  routine: 'Routine',
  urgent: 'Urgent',
  emergency: 'EMERGENCY',
};

export const KIND_WORDS: Readonly<Record<FindingKind, string>> = {
  moisture: 'moisture',
  leakage: 'leakage',
  'phase-track': 'phase track',
  unbalance: 'unbalance',
  'phase-loss': 'phase lost',
  'supply-loss': 'supply lost',
  'repeat-fuse': 'fuses again',
  sensor: 'sensor',
  silent: 'silent node',
};

const CAUSE_WORDS: Readonly<Record<Cause, string>> = {
  condensation: 'condensation',
  'water-ingress': 'water gets in',
  'humid-weather': 'humid weather',
  'line-side-track-to-ground': 'track to ground, line side',
  'pole-to-pole-track': 'track from pole to pole',
  'load-insulation': 'insulation of the load',
  'supply-voltage': 'supply voltage',
  'worn-pole-or-connection': 'worn pole or connection',
  'open-fuse': 'open fuse',
  'disconnect-open-or-fuses-open': 'disconnect or all fuses open',
  'sensor-fault': 'sensor fault',
  'node-offline': 'node offline',
  'utility-outage': 'utility outage',
  unknown: 'unknown',
};

/** `Probably open fuse (86 %).` */
export function causeWords(cause: CauseEstimate | null): string {
  if (cause === null || cause.cause === 'unknown') return 'Cause unknown.';
  return `Probably ${CAUSE_WORDS[cause.cause]} (${Math.round(cause.probability * 100)} %).`;
}
