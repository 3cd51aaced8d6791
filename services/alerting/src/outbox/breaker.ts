export interface BreakerLimits {
  /** Failures in a row that open it: fewer may be a hiccup. */
  readonly failures: number;
  /** By how many different ones they must come about: 1 for a door, more for what is above it. */
  readonly different: number;
  /** First pause before one may probe; doubles with each probe that fails. */
  readonly pauseFirstMs: number;
  /** Longest pause: how late a page may be after the other side is back. */
  readonly pauseMostMs: number;
}

export const DOOR_BREAKER: BreakerLimits = {
  failures: 5,
  different: 1,
  pauseFirstMs: 5000,
  pauseMostMs: 60_000,
};

/** One dead gateway must not close the way to others: three have to be out of reach. */
export const CHANNEL_BREAKER: BreakerLimits = { ...DOOR_BREAKER, failures: 9, different: 3 };

/** While one probes, the others look again after this. */
const PROBE_WAIT_MS = 1000;

/** Let through: the one that probes when the breaker was open. */
export interface Pass {
  readonly isProbe: boolean;
}

/** Stops calling what cannot be reached: after failures in a row only one at a time may probe. */
export class Breaker {
  readonly #limits: BreakerLimits;
  readonly #failedAt = new Set<string>();
  #failures = 0;
  #pauses = 0;
  #openUntilMs: number | null = null;
  #isProbing = false;

  constructor(limits: BreakerLimits) {
    this.#limits = limits;
  }

  get isOpen(): boolean {
    return this.#openUntilMs !== null;
  }

  /** Null: one may pass now. Else when to ask again. */
  waitUntilMs(nowMs: number): number | null {
    if (this.#openUntilMs === null) return null;
    if (this.#isProbing) return nowMs + PROBE_WAIT_MS;
    return nowMs >= this.#openUntilMs ? null : this.#openUntilMs;
  }

  /** Only after `waitUntilMs` gave null; `answered`, `failed` or `unused` must follow. */
  pass(): Pass {
    const isProbe = this.isOpen;
    if (isProbe) this.#isProbing = true;
    return { isProbe };
  }

  /** Whatever it said: the other side is there. */
  answered(): void {
    this.#failedAt.clear();
    this.#failures = 0;
    this.#pauses = 0;
    this.#openUntilMs = null;
    this.#isProbing = false;
  }

  /** The try ended before the other side was asked: another may probe. */
  unused({ isProbe }: Pass): void {
    if (isProbe) this.#isProbing = false;
  }

  /** @param who one of those behind it: a door for a channel's breaker */
  failed({ isProbe }: Pass, who: string, nowMs: number): void {
    if (isProbe) this.#isProbing = false;
    // What was under way when it opened says nothing new.
    else if (this.isOpen) return;
    this.#failures += 1;
    if (this.#failedAt.size < this.#limits.different) this.#failedAt.add(who);
    const isEnough =
      this.#failures >= this.#limits.failures && this.#failedAt.size >= this.#limits.different;
    if (!isEnough && !isProbe) return;
    const { pauseFirstMs, pauseMostMs } = this.#limits;
    this.#openUntilMs = nowMs + Math.min(pauseMostMs, pauseFirstMs * 2 ** this.#pauses);
    this.#pauses += 1;
  }
}
