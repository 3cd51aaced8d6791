import type { Cause, FindingKind, Priority } from '@lineside/anomaly';
import type { FaultTruth } from '@lineside/rooftop';

export const FAULT_CLASSES = [
  'track-to-ground',
  'pole-to-pole-track',
  'load-insulation',
  'vermin',
  'water-ingress',
  'phase-loss',
  'fuses-gone',
  'disconnect-open',
  'unbalance-in-unit',
  'unbalance-of-supply',
  'sensor-fault',
  'node-silent',
  'no-warning-owed',
] as const;
export type FaultClass = (typeof FAULT_CLASSES)[number];

/** Where a fault is, as an alarm can say it. */
export type Place = 'line' | 'load';

/** What is asked for a class of faults; the reasons stand in MATCHING.md. */
export interface ClassRules {
  /**
   * `before-failure`: a warning counts up to the lead before the failure.
   * `after-evidence`: it comes suddenly or does not end in a failure; a warning counts while the
   * fault lasts, and what is measured is the delay.
   */
  readonly asks: 'before-failure' | 'after-evidence';
  /** Alarms that warn of it, from which priority on. */
  readonly warns: Readonly<Partial<Record<FindingKind, Priority>>>;
  /** Alarms of any kind whose first-ranked cause is one of these warn of it, and are not false. */
  readonly warnsByCause: readonly Cause[];
  /** Alarms that are not false while it is there. */
  readonly explains: readonly FindingKind[];
  /** Causes that name it. */
  readonly causes: readonly Cause[];
  /** null: the trade asks for no place. */
  readonly place: Place | null;
}

/** What open fuses lead to, whatever opened them. */
export const FUSES_OPEN_DO: readonly FindingKind[] = [
  'supply-loss',
  'phase-loss',
  'repeat-fuse',
  'unbalance',
  'silent',
];

export const CLASS_RULES: Readonly<Record<FaultClass, ClassRules>> = {
  'track-to-ground': {
    asks: 'before-failure',
    warns: { leakage: 'routine', 'phase-track': 'routine', moisture: 'urgent' },
    warnsByCause: [],
    explains: ['leakage', 'moisture', 'phase-track'],
    causes: ['line-side-track-to-ground'],
    place: 'line',
  },
  'pole-to-pole-track': {
    asks: 'before-failure',
    warns: { 'phase-track': 'routine' },
    warnsByCause: [],
    explains: ['phase-track', 'moisture'],
    causes: ['pole-to-pole-track'],
    place: 'line',
  },
  'load-insulation': {
    asks: 'after-evidence',
    warns: { leakage: 'routine' },
    warnsByCause: [],
    explains: ['leakage'],
    causes: ['load-insulation'],
    place: 'load',
  },
  vermin: {
    asks: 'after-evidence',
    warns: { leakage: 'routine' },
    warnsByCause: [],
    explains: ['leakage'],
    // No cause of the vocabulary names it; to say so is right.
    causes: ['unknown'],
    place: 'line',
  },
  'water-ingress': {
    asks: 'after-evidence',
    warns: { moisture: 'routine' },
    warnsByCause: [],
    explains: ['moisture'],
    causes: ['water-ingress'],
    place: null,
  },
  'phase-loss': {
    asks: 'after-evidence',
    warns: { 'phase-loss': 'routine', 'supply-loss': 'routine', silent: 'routine' },
    warnsByCause: [],
    explains: FUSES_OPEN_DO,
    causes: ['open-fuse', 'disconnect-open-or-fuses-open', 'utility-outage'],
    place: null,
  },
  'fuses-gone': {
    asks: 'after-evidence',
    warns: { 'supply-loss': 'routine', 'phase-loss': 'routine', silent: 'routine' },
    warnsByCause: [],
    explains: FUSES_OPEN_DO,
    causes: ['open-fuse', 'disconnect-open-or-fuses-open'],
    place: null,
  },
  'disconnect-open': {
    asks: 'after-evidence',
    warns: { 'supply-loss': 'routine', silent: 'routine' },
    warnsByCause: [],
    explains: ['supply-loss', 'silent'],
    causes: ['disconnect-open-or-fuses-open'],
    place: null,
  },
  'unbalance-in-unit': {
    asks: 'after-evidence',
    warns: { unbalance: 'routine' },
    warnsByCause: [],
    explains: ['unbalance', 'phase-loss'],
    causes: ['worn-pole-or-connection'],
    place: null,
  },
  'unbalance-of-supply': {
    asks: 'after-evidence',
    warns: { unbalance: 'routine' },
    warnsByCause: [],
    explains: ['unbalance'],
    causes: ['supply-voltage'],
    place: null,
  },
  'sensor-fault': {
    asks: 'after-evidence',
    warns: { sensor: 'routine' },
    warnsByCause: ['sensor-fault'],
    explains: ['sensor'],
    causes: ['sensor-fault'],
    place: null,
  },
  'node-silent': {
    asks: 'after-evidence',
    warns: { silent: 'routine' },
    warnsByCause: [],
    explains: ['silent'],
    causes: ['node-offline', 'utility-outage'],
    place: null,
  },
  'no-warning-owed': {
    asks: 'after-evidence',
    warns: {},
    warnsByCause: [],
    explains: [],
    causes: [],
    place: null,
  },
};

/** The scenario's words, each with its class. */
const CLASS_OF_WORD: Readonly<Record<string, FaultClass>> = {
  'track-to-ground': 'track-to-ground',
  'track-between-poles': 'pole-to-pole-track',
  'load-insulation': 'load-insulation',
  vermin: 'vermin',
  'water-ingress': 'water-ingress',
  'open-fuse': 'phase-loss',
  'hot-fuse-clip': 'phase-loss',
  'utility-phase-lost': 'phase-loss',
  'compressor-grounded': 'fuses-gone',
  'fuses-gone': 'fuses-gone',
  'disconnect-open': 'disconnect-open',
  'loose-terminal': 'unbalance-in-unit',
  'worn-pole': 'unbalance-in-unit',
  'supply-unbalance': 'unbalance-of-supply',
  'current-sensor-dead': 'sensor-fault',
  'leak-sensor-fault': 'sensor-fault',
  'sensor-jump': 'sensor-fault',
  'transformer-slipped': 'sensor-fault',
  'network-outage': 'node-silent',
  'node-dead': 'node-silent',
  // A humidity sensor after dew, an RMS value and a clock give nothing that tells for certain.
  'humidity-sticks': 'no-warning-owed',
  'transformers-swapped': 'no-warning-owed',
  'transformer-reversed': 'no-warning-owed',
  'clock-error': 'no-warning-owed',
  'readings-lost': 'no-warning-owed',
  'duplicate-deliveries': 'no-warning-owed',
};

/** @throws RangeError when no class is known for the word: a new fault needs its rules first. */
export function classOf(fault: Pick<FaultTruth, 'fault'>): FaultClass {
  const found = CLASS_OF_WORD[fault.fault];
  if (found === undefined) {
    throw new RangeError(
      `no class is known for the fault '${fault.fault}'; give it one in fault-classes.ts`,
    );
  }
  return found;
}
