import type { Cause, FindingKind, Priority } from '@lineside/anomaly';
import type { FaultTruth } from '@lineside/rooftop';

export const FAULT_CLASSES = [
  'track-to-ground',
  'pole-to-pole-track',
  'load-insulation',
  'water-ingress',
  'phase-loss',
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
  /** Alarms that are not false while it is there. */
  readonly explains: readonly FindingKind[];
  /** Causes that name it. */
  readonly causes: readonly Cause[];
  /** null: the trade asks for no place. */
  readonly place: Place | null;
}

const FUSES_AND_AFTER: readonly FindingKind[] = ['supply-loss', 'phase-loss', 'repeat-fuse'];

export const CLASS_RULES: Readonly<Record<FaultClass, ClassRules>> = {
  'track-to-ground': {
    asks: 'before-failure',
    warns: { leakage: 'routine', 'phase-track': 'routine', moisture: 'urgent' },
    explains: ['leakage', 'moisture', 'phase-track', ...FUSES_AND_AFTER],
    causes: ['line-side-track-to-ground'],
    place: 'line',
  },
  'pole-to-pole-track': {
    asks: 'before-failure',
    warns: { 'phase-track': 'routine' },
    explains: ['phase-track', 'moisture', ...FUSES_AND_AFTER],
    causes: ['pole-to-pole-track'],
    place: 'line',
  },
  'load-insulation': {
    asks: 'after-evidence',
    warns: { leakage: 'routine' },
    explains: ['leakage', ...FUSES_AND_AFTER],
    causes: ['load-insulation'],
    place: 'load',
  },
  'water-ingress': {
    asks: 'after-evidence',
    warns: { moisture: 'routine' },
    explains: ['moisture'],
    causes: ['water-ingress'],
    place: null,
  },
  'phase-loss': {
    asks: 'after-evidence',
    warns: { 'phase-loss': 'routine', 'supply-loss': 'routine' },
    explains: ['unbalance', ...FUSES_AND_AFTER],
    causes: ['open-fuse', 'disconnect-open-or-fuses-open', 'utility-outage'],
    place: null,
  },
  'unbalance-in-unit': {
    asks: 'after-evidence',
    warns: { unbalance: 'routine' },
    explains: ['unbalance', 'phase-loss'],
    causes: ['worn-pole-or-connection'],
    place: null,
  },
  'unbalance-of-supply': {
    asks: 'after-evidence',
    warns: { unbalance: 'routine' },
    explains: ['unbalance'],
    causes: ['supply-voltage'],
    place: null,
  },
  'sensor-fault': {
    asks: 'after-evidence',
    warns: { sensor: 'routine' },
    explains: ['sensor'],
    causes: ['sensor-fault'],
    place: null,
  },
  'node-silent': {
    asks: 'after-evidence',
    warns: { silent: 'routine' },
    explains: ['silent'],
    causes: ['node-offline', 'utility-outage'],
    place: null,
  },
  'no-warning-owed': {
    asks: 'after-evidence',
    warns: {},
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
  'water-ingress': 'water-ingress',
  'open-fuse': 'phase-loss',
  'loose-terminal': 'unbalance-in-unit',
  'supply-unbalance': 'unbalance-of-supply',
  'current-sensor-dead': 'sensor-fault',
  'network-outage': 'node-silent',
  'node-dead': 'node-silent',
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
