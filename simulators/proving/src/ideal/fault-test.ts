import { unbalancePercent } from '@lineside/physics';
import type { ChannelValues } from '@lineside/readings';
import type { NodeFit } from '@lineside/rooftop';
import { type Bounds, LikelihoodRatio } from './likelihood-ratio.ts';
import { SignalPower } from './signal-power.ts';

/** One reading as it was sent, and as it would have been without the faults. */
export interface Compared {
  readonly atMs: number;
  readonly sent: ChannelValues;
  readonly without: ChannelValues;
  /** Loads that truly run. */
  readonly loadsRunning: number;
  /** Noise of this reading, standard normal. */
  readonly deviate: number;
}

/** When a fault of known form is there for sure: the test that nothing can beat. */
export class PresenceTest {
  foundMs: number | null = null;
  private readonly ratio = new LikelihoodRatio();
  private readonly power: SignalPower;
  private readonly bound: number;

  /** @param everything false: by phase currents and voltages alone. */
  constructor(fit: NodeFit, bound: number, everything: boolean) {
    this.power = new SignalPower(fit, everything);
    this.bound = bound;
  }

  step({ atMs, sent, without, loadsRunning, deviate }: Compared): void {
    if (this.foundMs !== null) return;
    // Sparks come from tracks alone: one of them is proof.
    const sparks = (sent.bursts ?? 0) > (without.bursts ?? 0);
    this.ratio.present(this.power.of(sent, without, loadsRunning), deviate);
    if (sparks || this.ratio.log >= this.bound) this.foundMs = atMs;
  }
}

/**
 * Line or load side, by readings at which no load runs: there a fault of the line side shows and
 * one of the load side does not. A fault of the load side is held against one of the line side that
 * draws at rest what this one drew when loads last ran.
 */
export class SideTest {
  said: 'line' | 'load' | null = null;
  private readonly ratio = new LikelihoodRatio();
  private readonly power: SignalPower;
  private readonly truly: 'line' | 'load';
  private readonly bounds: Bounds;
  private lastRunningPower = 0;

  constructor(fit: NodeFit, truly: 'line' | 'load', bounds: Bounds) {
    this.power = new SignalPower(fit, true);
    this.truly = truly;
    this.bounds = bounds;
  }

  step({ sent, without, loadsRunning, deviate }: Compared): void {
    if (this.said !== null) return;
    const power = this.power.of(sent, without, loadsRunning);
    if (loadsRunning > 0) {
      this.lastRunningPower = power;
      return;
    }
    if (this.truly === 'line') this.ratio.present(power, deviate);
    else this.ratio.absent(this.lastRunningPower, deviate);
    if (this.ratio.log >= this.bounds.upper) this.said = 'line';
    else if (this.ratio.log <= this.bounds.lower) this.said = 'load';
  }
}

/** Halfway between what must be told of and what must not, per cent above the healthy unbalance. */
const TELL_FROM_PERCENT = 7;
const HELD_MS = 15 * 60_000;
/** A longer gap between two readings of a stage counts for so much. */
const READING_LASTS_MOST_MS = 5 * 60_000;

/** Unbalance above that of the same moment without the fault, held for 15 minutes of a stage. */
export class UnbalanceTest {
  foundMs: number | null = null;
  private readonly heldMs = new Map<number, number>();
  private lastMs: number | null = null;

  step({ atMs, sent, without, loadsRunning }: Compared): void {
    const lastsMs = Math.min(atMs - (this.lastMs ?? atMs), READING_LASTS_MOST_MS);
    this.lastMs = atMs;
    if (this.foundMs !== null || loadsRunning === 0) return;
    const above = percentOf(sent) - percentOf(without);
    const held = above >= TELL_FROM_PERCENT ? (this.heldMs.get(loadsRunning) ?? 0) + lastsMs : 0;
    this.heldMs.set(loadsRunning, held);
    if (held >= HELD_MS) this.foundMs = atMs;
  }
}

function percentOf({ ia = 0, ib = 0, ic = 0 }: ChannelValues): number {
  return ia + ib + ic > 0 ? unbalancePercent(ia, ib, ic) : 0;
}
