/** What the cases have to show, row by row. Common practice of the trade, no source. */
import { FINDING_KINDS } from '@lineside/anomaly';
import type { ShownRow } from './format/scenario-case.ts';

/** Which cause leaves which mark. */
const MARKS = {
  'line-side-track-to-ground': 'leaks at rest and running alike, with humidity, after a lag',
  'pole-to-pole-track': 'no ground leakage; an extra idle current of one size in two phases',
  'load-side-insulation': 'leaks while its load runs, at baseline at rest',
  'filter-or-drive': 'an offset while energised that varies with speed, never with humidity',
  'supply-voltage-unbalance': 'every load uneven, by several times what the voltage is',
  'loose-or-burnt-terminal': 'one to two per cent until late, then one phase of one load low',
  'one-fuse-open': 'one phase near zero, the others up 1.73 times until a protector trips',
  'fuses-or-disconnect-open': 'all currents zero, the idle current too; a 24 V node goes silent',
  'sensor-fault': 'flat, out of range, or jumps that nothing else shows; one phase reads zero',
} as const;

/** What looks alike and must not be taken for a fault. */
const LOOK_ALIKES = {
  'transformer-drift': 'follows temperature',
  'load-error': 'leakage reading in proportion to amps',
  'crankcase-heater': 'two phases at rest, ends at a start',
  'damp-heater-element': 'high when first energised, decays',
  'surge-arrester-ageing': 'at rest as running; steps after lightning',
  'ground-of-a-neighbour': 'units of one transformer in the same minute, ungrounded supply',
  'utility-outage-or-gateway-loss': 'all units dead together; all silent together',
  'stop-by-control': 'smoke, building control or overload: the idle current remains',
  'hot-fuse-clip': 'the same phase, under heavy load, in dry weather',
  'compressor-grounded-at-start': 'fuses open on a start',
  vermin: 'sudden, dry, no growth',
  'coil-washing': 'door open, unit off, no rain',
  'service-outlet': 'working hours, one or two phases',
  'frozen-snow': 'quiet below 0 C, jumps at the melt',
  'building-air': 'up a conduit in winter: hundreds of Pa of excess without any water',
} as const;

export const ROWS_TO_SHOW: readonly (ShownRow & { readonly inWords: string })[] = [
  ...Object.entries(MARKS).map(([row, inWords]) => ({ table: 'mark', row, inWords }) as const),
  ...Object.entries(LOOK_ALIKES).map(
    ([row, inWords]) => ({ table: 'look-alike', row, inWords }) as const,
  ),
  ...FINDING_KINDS.map(
    (kind) => ({ table: 'alarm', row: kind, inWords: `an alarm of the kind ${kind}` }) as const,
  ),
];

export const LEAST_CASES = 40;
