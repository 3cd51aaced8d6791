import { type Clock, install } from '@sinonjs/fake-timers';

/** What of Node's clock and timers the virtual ones stand for; promises run as always. */
const FAKED = [
  'setTimeout',
  'clearTimeout',
  'setInterval',
  'clearInterval',
  'setImmediate',
  'clearImmediate',
  'Date',
  'performance',
] as const;

/** Time that passes by events only: the next timer fires once nothing else is left to do. */
export class VirtualTime {
  readonly #realTurn: (callback: () => void) => void = setImmediate;
  readonly #clock: Clock;
  readonly #startMs: number;
  readonly #intervals = new Set<NodeJS.Timeout>();

  constructor(startMs: number) {
    this.#startMs = startMs;
    this.#clock = install({ now: startMs, toFake: [...FAKED] });
    globalThis.setInterval = new Proxy(globalThis.setInterval, {
      apply: (target, self, given) => {
        const timer = Reflect.apply(target, self, given);
        this.#intervals.add(timer);
        return timer;
      },
    });
  }

  get nowMs(): number {
    return this.#clock.now;
  }

  /** Seconds since the start, for people. */
  get words(): string {
    return `${((this.nowMs - this.#startMs) / 1000).toFixed(3)} s`;
  }

  /** Ends every interval: what a killed process no longer does. */
  dropIntervals(): void {
    for (const timer of this.#intervals) clearInterval(timer);
    this.#intervals.clear();
  }

  /** Lets time pass until the condition holds; false when it does not within `mostMs`. */
  async until(condition: () => boolean, mostMs: number): Promise<boolean> {
    const endMs = this.nowMs + mostMs;
    for (;;) {
      await new Promise<void>((resolve) => this.#realTurn(resolve));
      if (condition()) return true;
      if (this.nowMs >= endMs) return false;
      if (this.#clock.countTimers() === 0) this.#clock.tick(endMs - this.nowMs);
      else this.#clock.next();
    }
  }

  async pass(ms: number): Promise<void> {
    const endMs = this.nowMs + ms;
    setTimeout(() => {}, ms);
    await this.until(() => this.nowMs >= endMs, ms);
  }

  end(): void {
    this.#clock.uninstall();
  }
}
