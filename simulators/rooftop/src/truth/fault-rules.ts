import type { FaultKind } from '../world/fault-kinds.ts';
import type { FaultSide } from './truth.ts';

/** Where a fault is, and how it is decided that it shows in what the node sends. */
interface FaultRule {
  readonly side: FaultSide;
  /** What must exceed what, and why that. */
  readonly observable: string;
}

const LEAKAGE =
  'the change it makes to the vector sum exceeds the larger of the leakage floor and three times ' +
  'its noise, or its own current does on a node with leakr: currents in quadrature hide';
const FUSES =
  'the phase carried more than the current floor before its fuse opened, or a load runs since: ' +
  'at idle the third fuse is invisible';
const CONTACT =
  'it takes more than 1.5 % from its phase, and more than floor and noise: a load wanders by half ' +
  'a per cent between phases';
const SENSOR = 'the channel is off by more than its floor and three times its noise';
const SILENCE = 'the first sample that is missing';
const NEVER = 'never: no value of a channel tells';

export const FAULT_RULES: Readonly<Record<FaultKind, FaultRule>> = {
  'track-to-ground': { side: 'line', observable: LEAKAGE },
  'track-between-poles': {
    side: 'line',
    observable: 'its current exceeds floor and noise of the amps at idle: running loads hide it',
  },
  'water-ingress': {
    side: 'enclosure',
    observable:
      'water is inside and the vapour pressure exceeds that outdoors by 3 %RH of saturation: the ' +
      'error of two humidity sensors',
  },
  'load-insulation': { side: 'load', observable: LEAKAGE },
  vermin: { side: 'line', observable: LEAKAGE },
  'compressor-grounded': { side: 'load', observable: FUSES },
  'loose-terminal': { side: 'load', observable: CONTACT },
  'worn-pole': { side: 'load', observable: CONTACT },
  'hot-fuse-clip': { side: 'supply', observable: FUSES },
  'open-fuse': { side: 'supply', observable: FUSES },
  'fuses-gone': { side: 'supply', observable: FUSES },
  'disconnect-open': { side: 'supply', observable: 'the idle current is gone' },
  'supply-unbalance': {
    side: 'supply',
    observable:
      'a sent voltage is low by more than three times its noise, else a running current by more ' +
      'than 1.5 %',
  },
  'utility-phase-lost': { side: 'supply', observable: 'from its first sample on' },
  'current-sensor-dead': { side: 'node', observable: SENSOR },
  'leak-sensor-fault': { side: 'node', observable: SENSOR },
  'sensor-jump': { side: 'node', observable: SENSOR },
  'transformer-slipped': { side: 'node', observable: SENSOR },
  'transformers-swapped': { side: 'node', observable: SENSOR },
  'transformer-reversed': { side: 'node', observable: NEVER },
  'humidity-sticks': { side: 'node', observable: 'the humidity is off by more than 3 %RH' },
  'clock-error': { side: 'node', observable: NEVER },
  'network-outage': { side: 'node', observable: SILENCE },
  'readings-lost': { side: 'node', observable: NEVER },
  'duplicate-deliveries': { side: 'node', observable: NEVER },
  'node-dead': { side: 'node', observable: SILENCE },
};
