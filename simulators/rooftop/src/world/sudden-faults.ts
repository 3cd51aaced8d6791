import type { Fault } from './fault-kinds.ts';
import type { LoadBank } from './loads.ts';
import type { Phase } from './scenario.ts';

type SuddenFault = Fault & {
  readonly kind: 'open-fuse' | 'fuses-gone' | 'compressor-grounded' | 'hot-fuse-clip';
};

interface Pending {
  readonly fault: SuddenFault;
  readonly index: number;
  over: boolean;
  /** Seconds of heavy load that a hot clip has not yet forgotten. */
  hotSeconds: number;
}

/** A clip that heats takes the fuse after so much heavy load, and forgets it slowly (assumptions). */
const HOT_CLIP_SECONDS = 3600;
const CLIP_COOLING_SECONDS = 12 * 3600;
/** It is cooler when the air is damp or cold enough: dry weather only. */
const HOT_CLIP_BELOW_HUMIDITY_PERCENT = 60;

/** Faults that open fuses at one blow. */
export class SuddenFaults {
  private readonly pending: readonly Pending[];

  constructor(faults: readonly Fault[]) {
    this.pending = faults.flatMap((fault, index) =>
      fault.kind === 'open-fuse' ||
      fault.kind === 'fuses-gone' ||
      fault.kind === 'compressor-grounded' ||
      fault.kind === 'hot-fuse-clip'
        ? [{ fault, index, over: false, hotSeconds: 0 }]
        : [],
    );
  }

  get none(): boolean {
    return this.pending.length === 0;
  }

  /** Before the currents of this step flow: starts that end at once, and blows from outside. */
  atOnce(loads: LoadBank, atMs: number, open: OpenFuses): void {
    for (const one of this.pending) {
      const { fault, index, over } = one;
      if (over) continue;
      if (fault.kind === 'fuses-gone' && atMs >= fault.atMs) {
        one.over = true;
        open(index, fault.phases);
      } else if (fault.kind === 'compressor-grounded' && atMs >= fault.fromMs) {
        if (loads.loads[fault.contactor]?.started === true) open(index, fault.opens);
      }
    }
  }

  /** After the sample: fuses that give up under load. */
  underLoad(
    loads: LoadBank,
    loadShare: number,
    outdoorHumidityPercent: number,
    atMs: number,
    stepSeconds: number,
    open: OpenFuses,
  ): void {
    for (const one of this.pending) {
      const { fault, index, over } = one;
      if (over) continue;
      if (fault.kind === 'open-fuse') {
        if (atMs < fault.notBeforeMs || loads.compressorsRunning() === 0) continue;
        one.over = true;
        open(index, [fault.phase]);
      } else if (fault.kind === 'hot-fuse-clip' && atMs >= fault.fromMs) {
        const hot =
          loadShare >= fault.aboveLoadShare &&
          outdoorHumidityPercent < HOT_CLIP_BELOW_HUMIDITY_PERCENT;
        one.hotSeconds = hot
          ? one.hotSeconds + stepSeconds
          : one.hotSeconds * Math.exp(-stepSeconds / CLIP_COOLING_SECONDS);
        if (one.hotSeconds < HOT_CLIP_SECONDS) continue;
        one.hotSeconds = 0;
        open(index, [fault.phase]);
      }
    }
  }

  end(kind: SuddenFault['kind']): void {
    for (const one of this.pending) if (one.fault.kind === kind) one.over = true;
  }
}

/** What happens to the fuses by a fault of the script. */
export type OpenFuses = (fault: number, phases: readonly Phase[]) => void;
