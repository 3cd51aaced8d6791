import type { Unit } from '@lineside/fleet';
import type { ChannelValues } from '@lineside/readings';
import { DAY_MS, MINUTE_MS } from '../scoring/observed-unit.ts';
import type { ReadingsWithout } from './world-without.ts';

/** Until a unit is known only absolute limits apply; nobody learns one in less than a day. */
const UNKNOWN_FOR_MS: number = DAY_MS;
/** What stands over an absolute limit for so long has to be told. */
const TOLD_WITHIN_MS: number = 5 * MINUTE_MS;
/** Split-core sensors err by up to 0.1 % of the load; common practice, no source. */
const LOAD_ERROR_MILLIAMPS_PER_AMP = 1;
/** What units leak in health; the limit is held above what is more. Common practice, no source. */
const HEALTHY_MOST_MILLIAMPS = 3;

/**
 * Whether the limits of the trade demand an urgent leakage alarm of a healthy unit: whoever keeps
 * them must raise it, however well he understands the unit. They do where what the unit sends is
 * for five minutes in a row over the urgent limit: on its first day above the most that a sensor errs
 * by under that load, later above what the same unit leaks, beyond 3 mA, without its look-alike.
 */
export class LimitDemand {
  private readonly urgentMilliamps: number;
  private readonly startMs: number;
  private readonly without: ReadingsWithout | null;
  private overSinceMs: number | null = null;
  private demanded = false;

  /** @param without what the unit would have sent; null: it has no look-alike that leaks. */
  constructor({ limits }: Unit, startMs: number, without: ReadingsWithout | null) {
    this.urgentMilliamps = limits.leakageUrgentMilliamps;
    this.startMs = startMs;
    this.without = without;
  }

  /** A reading as it was sent, in order. */
  reading(atMs: number, { leak, ia = 0, ib = 0, ic = 0 }: ChannelValues): void {
    const without = this.without?.take(atMs) ?? null;
    if (this.demanded || leak === undefined) return;
    const unknown = atMs - this.startMs < UNKNOWN_FOR_MS;
    // Channels are in amperes.
    const errorMilliamps = LOAD_ERROR_MILLIAMPS_PER_AMP * Math.max(ia, ib, ic);
    const plainMilliamps = 1000 * (without?.leak ?? leak);
    const ownMilliamps = unknown
      ? errorMilliamps
      : Math.max(plainMilliamps - HEALTHY_MOST_MILLIAMPS, 0);
    const isOver = 1000 * leak - ownMilliamps >= this.urgentMilliamps;
    if (!isOver) {
      this.overSinceMs = null;
      return;
    }
    this.overSinceMs ??= atMs;
    this.demanded = atMs - this.overSinceMs >= TOLD_WITHIN_MS;
  }

  isDemanded(): boolean {
    return this.demanded;
  }
}
