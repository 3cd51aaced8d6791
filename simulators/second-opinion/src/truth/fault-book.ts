import type { FaultTruth } from '@lineside/rooftop';
import type { Leg, PlainFault } from '../plan.ts';

const SPELL_BREAK_MS = 3 * 3_600_000;
const NAMES = ['a', 'b', 'c'] as const;
const SIDES: Readonly<Record<PlainFault['kind'], FaultTruth['side']>> = {
  'track-to-ground': 'line',
  'track-between-poles': 'line',
  'water-ingress': 'enclosure',
  'load-insulation': 'load',
  vermin: 'line',
  'compressor-grounded': 'load',
  'worn-pole': 'load',
  'loose-terminal': 'load',
  'hot-fuse-clip': 'supply',
  'open-fuse': 'supply',
  'fuses-gone': 'supply',
  'disconnect-open': 'supply',
  'network-outage': 'node',
  'utility-phase-lost': 'supply',
  'supply-unbalance': 'supply',
  'current-sensor-dead': 'node',
  'leak-sensor-fault': 'node',
  'sensor-jump': 'node',
  'transformer-slipped': 'node',
  'humidity-sticks': 'node',
  'clock-error': 'node',
  'node-dead': 'node',
};

/** What becomes of one fault. */
export class FaultPage {
  readonly fault: PlainFault;
  observableMs: number | null = null;
  failureMs: number | null = null;
  endedMs: number | null = null;
  private readonly wettingsMs: number[] = [];
  private lastWetMs = Number.NEGATIVE_INFINITY;
  private readonly opened: Set<Leg> = new Set();

  constructor(fault: PlainFault) {
    this.fault = fault;
  }

  isThere(atMs: number): boolean {
    const { fault } = this;
    if (atMs < fault.fromMs || this.endedMs !== null) return false;
    return !('toMs' in fault) || atMs <= fault.toMs;
  }

  seen(atMs: number, wet: boolean): void {
    this.observableMs ??= atMs;
    if (!wet) return;
    if (atMs - this.lastWetMs > SPELL_BREAK_MS) this.wettingsMs.push(atMs);
    this.lastWetMs = atMs;
  }

  fails(atMs: number, legs: readonly Leg[]): void {
    this.failureMs ??= atMs;
    for (const leg of legs) this.opened.add(leg);
  }

  truth(endMs: number): FaultTruth {
    const { fault } = this;
    const legs = 'legs' in fault ? fault.legs : 'leg' in fault ? [fault.leg] : [];
    const ownEndMs = 'toMs' in fault && fault.toMs <= endMs ? fault.toMs : null;
    return {
      fault: fault.kind,
      side: SIDES[fault.kind],
      phases: legs.map((leg) => NAMES[leg]),
      onsetMs: fault.fromMs,
      observableMs: this.observableMs,
      observableWettingsMs: this.wettingsMs,
      failureMs: this.failureMs,
      fusesOpened: [...this.opened].sort().map((leg) => NAMES[leg]),
      endedMs: this.endedMs ?? ownEndMs,
    };
  }
}
