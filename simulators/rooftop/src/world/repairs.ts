import type { FaultKind, VisitEffect } from './scenario.ts';

/** The faults that a piece of work ends. Cleaning and a wrong opening end none. */
export const ENDS: Readonly<Record<VisitEffect, readonly FaultKind[]>> = {
  'fuses-replaced': ['open-fuse', 'fuses-gone'],
  'track-removed': ['track-to-ground', 'track-between-poles'],
  sealed: ['water-ingress'],
  'terminal-tightened': ['loose-terminal'],
  'track-cleaned': [],
  'wrong-opening-sealed': [],
  'load-repaired': ['load-insulation', 'compressor-grounded'],
  'pole-replaced': ['worn-pole'],
  'vermin-removed': ['vermin'],
  'clip-replaced': ['hot-fuse-clip'],
  'sensor-refitted': [
    'current-sensor-dead',
    'leak-sensor-fault',
    'sensor-jump',
    'transformer-slipped',
    'transformers-swapped',
    'transformer-reversed',
    'humidity-sticks',
  ],
  'node-revived': ['node-dead', 'clock-error'],
};
