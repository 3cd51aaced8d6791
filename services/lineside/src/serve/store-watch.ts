import type { Trouble } from '@lineside/ingest';
import type { TelemetryStore } from '@lineside/storage';
import type { Logger } from 'pino';

/** As often as silence is looked for: an office that looks at the page waits no longer. */
const LOOK_EVERY_MS = 10_000;

export interface StoreWatchParts {
  readonly telemetry: Pick<TelemetryStore, 'look'>;
  readonly log: Logger;
  readonly everyMs?: number;
}

/**
 * Looks whether the server that keeps readings answers. Writes show it too, but only while nodes
 * send, and charts fail in front of people before.
 */
export class StoreWatch {
  readonly #parts: StoreWatchParts;
  #timer: NodeJS.Timeout | null = null;
  #isLooking = false;
  #reason: string | null = null;

  constructor(parts: StoreWatchParts) {
    this.#parts = parts;
  }

  /** Does nothing where the store is no server. */
  start(): void {
    const { telemetry, everyMs = LOOK_EVERY_MS } = this.#parts;
    if (telemetry.look === undefined) return;
    this.#timer = setInterval(() => void this.#look(), everyMs).unref();
  }

  stop(): void {
    if (this.#timer !== null) clearInterval(this.#timer);
  }

  troubles(): readonly Trouble[] {
    return this.#reason === null ? [] : [{ part: 'telemetry', reason: this.#reason }];
  }

  async #look(): Promise<void> {
    if (this.#isLooking) return;
    this.#isLooking = true;
    const { telemetry, log } = this.#parts;
    try {
      await telemetry.look?.();
      if (this.#reason !== null) log.info('the store of readings answers again');
      this.#reason = null;
    } catch (error) {
      const words = error instanceof Error ? error.message : String(error);
      const reason = `does not answer: ${words}; charts are empty and nothing new can be stored`;
      if (this.#reason === null) log.warn({ err: error }, `the store of readings ${reason}`);
      this.#reason = reason;
    } finally {
      this.#isLooking = false;
    }
  }
}
