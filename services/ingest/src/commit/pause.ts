/** First pause after a store refused, ms: a full disk does not empty itself faster. */
const FIRST_PAUSE_MS = 500;

/** Longest pause, ms: what a person waits after making room, before work goes on. */
const LONGEST_PAUSE_MS = 5_000;

/** Pause before attempt number `attempt` + 1, where 1 is the first attempt: 0.5, 1, 2, 4, 5, 5 s. */
export function growingPauseMs(attempt: number): number {
  return Math.min(LONGEST_PAUSE_MS, FIRST_PAUSE_MS * 2 ** Math.max(0, attempt - 1));
}

/** Waits that can all be ended early, for closing down. */
export class Pauses {
  readonly #waiting = new Set<() => void>();
  #ended = false;

  /** True once `endAll` was called; then every wait is over at once. */
  get ended(): boolean {
    return this.#ended;
  }

  wait(ms: number): Promise<void> {
    if (this.#ended) {
      return Promise.resolve();
    }
    return new Promise((resolve) => {
      const end = (): void => {
        clearTimeout(timer);
        this.#waiting.delete(end);
        resolve();
      };
      const timer = setTimeout(end, ms);
      this.#waiting.add(end);
    });
  }

  endAll(): void {
    this.#ended = true;
    for (const end of [...this.#waiting]) {
      end();
    }
  }
}
