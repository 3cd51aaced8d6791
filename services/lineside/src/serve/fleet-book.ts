import { type Fleet, parseStoredFleet, toFleet } from '@lineside/fleet';
import type { RecordStore } from '@lineside/storage';
import type { Logger } from 'pino';

/** How often it is looked whether the stored fleet is another, when nobody says so. */
const POLL_MS = 10_000;

const NO_FLEET: Fleet = { sites: [], units: [] };

/**
 * The stored fleet in a process that does not apply the fleet file: what another process stored is
 * known within 10 s, or at once after `refresh`. No fleet yet is one without sites.
 */
export class FleetBook {
  readonly #records: Pick<RecordStore, 'loadFleet'>;
  readonly #log: Logger;
  #fleet: Fleet = NO_FLEET;
  #known = '';
  #timer: NodeJS.Timeout | null = null;
  #hasFailed = false;

  constructor(records: Pick<RecordStore, 'loadFleet'>, log: Logger) {
    this.#records = records;
    this.#log = log;
  }

  /** The same object as long as the fleet is the same. */
  get fleet(): Fleet {
    return this.#fleet;
  }

  follow(): void {
    this.#timer = setInterval(() => void this.refresh(), POLL_MS);
    this.#timer.unref();
  }

  stop(): void {
    if (this.#timer !== null) clearInterval(this.#timer);
  }

  /** Never rejects: the fleet known before holds, and it is tried again. */
  async refresh(): Promise<void> {
    try {
      const document = await this.#records.loadFleet();
      const text = JSON.stringify(document);
      if (text === this.#known) return;
      const stored = document === null ? null : parseStoredFleet(document);
      if (stored !== null) {
        this.#fleet = toFleet(stored);
        this.#log.info({ units: this.#fleet.units.length }, 'the stored fleet was read');
      } else if (document !== null) {
        this.#log.error('the stored fleet was written by another version of Lineside');
      }
      this.#known = text;
      this.#hasFailed = false;
    } catch (error) {
      if (!this.#hasFailed) this.#log.warn({ err: error }, 'the fleet cannot be read; tried again');
      this.#hasFailed = true;
    }
  }
}
