import { performance } from 'node:perf_hooks';

/** How long ago a loop last went on; its work is a series of turns. */
export class Turns {
  readonly #monotonicMs: () => number;
  #lastMs: number;

  constructor(monotonicMs: () => number = () => performance.now()) {
    this.#monotonicMs = monotonicMs;
    this.#lastMs = monotonicMs();
  }

  /** Work began, or a piece of it is done. */
  turned(): void {
    this.#lastMs = this.#monotonicMs();
  }

  /** Milliseconds since the last turn; 0 while there is nothing to do. */
  ageMs(hasWork: boolean): number {
    return hasWork ? this.#monotonicMs() - this.#lastMs : 0;
  }
}
