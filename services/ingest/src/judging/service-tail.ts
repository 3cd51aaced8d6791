import type { RecordStore, UnitRef } from '@lineside/storage';
import type { Logger } from 'pino';

/** How often it is looked for service records that nobody announced: another process may write. */
const POLL_MS = 1_000;

/** Records looked at in one read: what is read of each is its unit. */
const RECORDS_PER_READ = 500;

export interface ServiceTailParts {
  readonly records: Pick<RecordStore, 'servicesAfter' | 'serviceEnd'>;
  readonly log: Pick<Logger, 'warn'>;
  /** Called for each record that was added, once at least. */
  readonly onRecord: (ref: UnitRef) => void;
}

/** Follows the service records, whoever adds them. */
export class ServiceTail {
  readonly #parts: ServiceTailParts;
  #sequence = 0;
  #timer: NodeJS.Timeout | null = null;
  #running: Promise<void> | null = null;
  #hasFailed = false;

  constructor(parts: ServiceTailParts) {
    this.#parts = parts;
  }

  /** Takes the present end for the beginning; to be called before the watches are restored. */
  async begin(): Promise<void> {
    this.#sequence = await this.#parts.records.serviceEnd();
  }

  follow(): void {
    this.#timer = setInterval(() => void this.#look().catch(() => {}), POLL_MS);
    this.#timer.unref();
  }

  /** Resolves when all that was added before the call was told. Rejects with `StoreError`. */
  async lookNow(): Promise<void> {
    // One under way may have read before the newest was added.
    await this.#running?.catch(() => {});
    await this.#look();
  }

  async stop(): Promise<void> {
    if (this.#timer !== null) clearInterval(this.#timer);
    await this.#running?.catch(() => {});
  }

  #look(): Promise<void> {
    this.#running ??= this.#read().finally(() => {
      this.#running = null;
    });
    return this.#running;
  }

  async #read(): Promise<void> {
    const { records, log, onRecord } = this.#parts;
    try {
      for (;;) {
        const added = await records.servicesAfter(this.#sequence, RECORDS_PER_READ);
        for (const { site, unit, sequence } of added) {
          onRecord({ site, unit });
          this.#sequence = sequence;
        }
        if (added.length < RECORDS_PER_READ) break;
      }
      this.#hasFailed = false;
    } catch (error) {
      if (!this.#hasFailed) log.warn({ err: error }, 'service records cannot be read; tried again');
      this.#hasFailed = true;
      throw error;
    }
  }
}
