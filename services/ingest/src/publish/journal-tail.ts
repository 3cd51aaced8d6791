import type { Alarm } from '@lineside/alarms';
import type { RecordStore } from '@lineside/storage';
import type { Logger } from 'pino';

/** How often the journal is looked at when nobody says that it grew: another process may write. */
const POLL_MS = 1_000;

/** Journal entries read at once. */
const ENTRIES_PER_READ = 500;

export interface JournalTailParts {
  readonly records: Pick<RecordStore, 'journalAfter' | 'journalEnd' | 'openAlarms'>;
  readonly log: Logger;
  /** Called with alarms as they are now, in the order of the journal. */
  readonly onAlarms: (alarms: readonly Alarm[]) => Promise<void>;
  /** Called when entries were found. */
  readonly onGrowth: () => void;
}

/** Follows the alarm journal, from all alarms at the start to each later entry. */
export class JournalTail {
  readonly #parts: JournalTailParts;
  #sequence = 0;
  #timer: NodeJS.Timeout | null = null;
  #running: Promise<void> | null = null;
  #again = false;
  #failed = false;
  #following = false;

  constructor(parts: JournalTailParts) {
    this.#parts = parts;
  }

  /** Hands over all alarms that matter now, then follows. */
  async start(): Promise<void> {
    // The end is read first: what is added meanwhile is then handed over twice, never missed.
    this.#sequence = await this.#parts.records.journalEnd();
    await this.#parts.onAlarms(await this.#parts.records.openAlarms());
    this.#following = true;
    this.#timer = setInterval(() => this.poke(), POLL_MS);
    this.#timer.unref();
  }

  /** Looks at the journal now; before the start there is no place to look from. */
  poke(): void {
    if (!this.#following) {
      return;
    }
    if (this.#running !== null) {
      this.#again = true;
      return;
    }
    this.#running = this.#follow().finally(() => {
      this.#running = null;
      if (this.#again) {
        this.#again = false;
        this.poke();
      }
    });
  }

  async stop(): Promise<void> {
    this.#following = false;
    if (this.#timer !== null) {
      clearInterval(this.#timer);
    }
    while (this.#running !== null) {
      await this.#running;
    }
  }

  async #follow(): Promise<void> {
    try {
      for (;;) {
        const entries = await this.#parts.records.journalAfter(this.#sequence, ENTRIES_PER_READ);
        const last = entries.at(-1);
        if (last === undefined) {
          break;
        }
        this.#parts.onGrowth();
        await this.#parts.onAlarms(entries.map((entry) => entry.alarm));
        this.#sequence = last.sequence;
      }
      this.#failed = false;
    } catch (error) {
      // The next look, within a second, starts at the same place.
      if (!this.#failed) {
        this.#parts.log.error({ err: error }, 'alarm journal cannot be read; retained topics wait');
      }
      this.#failed = true;
    }
  }
}
