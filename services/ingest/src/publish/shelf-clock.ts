import { type Alarm, actOnAlarm } from '@lineside/alarms';
import { type RecordStore, StoreError } from '@lineside/storage';
import type { Logger } from 'pino';

/** How often shelved alarms are looked through; a shelf that ends a second late harms nobody. */
const CHECK_MS = 1_000;

/** Times that a person may come in between before it waits for the next look. */
const MOST_CONFLICTS = 5;

export interface ShelfClockParts {
  readonly records: Pick<RecordStore, 'alarm' | 'changeAlarms'>;
  readonly clock: () => number;
  readonly log: Logger;
  /** Called after an alarm left its shelf. */
  readonly onAlarms: () => void;
}

/** Takes alarms off the shelf when their time is over. Hears of shelved ones from the journal. */
export class ShelfClock {
  readonly #parts: ShelfClockParts;
  readonly #shelved = new Map<string, number>();
  #timer: NodeJS.Timeout | null = null;
  #running: Promise<void> | null = null;

  constructor(parts: ShelfClockParts) {
    this.#parts = parts;
  }

  /** Takes note of alarms as they are now. */
  note(alarms: readonly Alarm[]): void {
    for (const alarm of alarms) {
      if (alarm.state === 'shelved' && alarm.shelvedUntilMs !== null) {
        this.#shelved.set(alarm.id, alarm.shelvedUntilMs);
      } else {
        this.#shelved.delete(alarm.id);
      }
    }
  }

  start(): void {
    this.#timer = setInterval(() => this.check(), CHECK_MS);
    this.#timer.unref();
  }

  async stop(): Promise<void> {
    if (this.#timer !== null) {
      clearInterval(this.#timer);
    }
    await this.#running;
  }

  /** Looks for shelves whose time is over. */
  check(): void {
    const nowMs = this.#parts.clock();
    const due = [...this.#shelved].filter(([, untilMs]) => untilMs <= nowMs).map(([id]) => id);
    if (due.length === 0 || this.#running !== null) {
      return;
    }
    this.#running = this.#unshelve(due, nowMs)
      .catch((error: unknown) => {
        this.#parts.log.warn({ err: error }, 'alarms cannot be taken off the shelf; tried again');
      })
      .finally(() => {
        this.#running = null;
      });
  }

  async #unshelve(ids: readonly string[], nowMs: number): Promise<void> {
    for (const id of ids) {
      for (let attempt = 1; attempt <= MOST_CONFLICTS; attempt++) {
        if (await this.#unshelveOne(id, nowMs)) {
          break;
        }
      }
    }
  }

  /** False when somebody changed the alarm in between. */
  async #unshelveOne(id: string, nowMs: number): Promise<boolean> {
    const alarm = await this.#parts.records.alarm(id);
    const isDue =
      alarm?.state === 'shelved' && alarm.shelvedUntilMs !== null && alarm.shelvedUntilMs <= nowMs;
    if (alarm === null || !isDue) {
      this.note(alarm === null ? [] : [alarm]);
      return true;
    }
    return this.#expire(alarm, nowMs);
  }

  async #expire(alarm: Alarm, nowMs: number): Promise<boolean> {
    const result = actOnAlarm(alarm, { type: 'shelf-expired' }, { atMs: nowMs, by: 'clock' });
    if (!result.ok || result.entry === null) {
      return true;
    }
    try {
      await this.#parts.records.changeAlarms([{ entry: result.entry }]);
    } catch (error) {
      if (error instanceof StoreError && error.code === 'STORE_CONFLICT') {
        return false;
      }
      throw error;
    }
    this.#shelved.delete(alarm.id);
    this.#parts.onAlarms();
    return true;
  }
}
