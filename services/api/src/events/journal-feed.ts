import type { Alarm, AlarmJson } from '@lineside/alarms';
import type { AlarmRecords, StoredJournalEntry } from '@lineside/storage';

/** Entries read from the store at once. */
const READ_ENTRIES = 500;
/** Newest entries that are kept, so that listeners who keep up share one read. */
const KEPT_ENTRIES = 2_000;

export interface AlarmEvent {
  readonly sequence: number;
  readonly site: string;
  /** The alarm after the change, as JSON. */
  readonly data: string;
}

type JournalRecords = Pick<AlarmRecords, 'journalAfter' | 'journalEnd'>;

/** The alarm journal as events. Methods reject with `StoreError`. */
export class JournalFeed {
  readonly #records: JournalRecords;
  readonly #answer: (alarm: Alarm) => AlarmJson;
  #kept: AlarmEvent[] = [];
  /** Everything after this sequence and up to `end` is in `#kept`. */
  #keptAfter = 0;
  #end = 0;

  /** @param answer what listeners are told of an alarm. */
  constructor(records: JournalRecords, answer: (alarm: Alarm) => AlarmJson) {
    this.#records = records;
    this.#answer = answer;
  }

  /** Sequence of the newest entry that is known. */
  get end(): number {
    return this.#end;
  }

  async start(): Promise<void> {
    this.#end = await this.#records.journalEnd();
    this.#keptAfter = this.#end;
  }

  /** Reads what is new; returns whether there was anything. */
  async readOn(): Promise<boolean> {
    const before = this.#end;
    for (;;) {
      const entries = await this.#records.journalAfter(this.#end, READ_ENTRIES);
      for (const entry of entries) this.#keep(entry);
      if (entries.length < READ_ENTRIES) break;
    }
    const surplus = this.#kept.length - KEPT_ENTRIES;
    if (surplus > 0) {
      this.#keptAfter = this.#kept[surplus - 1]?.sequence ?? this.#keptAfter;
      this.#kept = this.#kept.slice(surplus);
    }
    return this.#end > before;
  }

  /** The first entries after `sequence`, oldest first; empty when there is none yet. */
  async after(sequence: number, most: number): Promise<readonly AlarmEvent[]> {
    if (sequence < this.#keptAfter) {
      return (await this.#records.journalAfter(sequence, most)).map((entry) =>
        this.#eventFrom(entry),
      );
    }
    const first = this.#kept.findIndex((event) => event.sequence > sequence);
    return first === -1 ? [] : this.#kept.slice(first, first + most);
  }

  #keep(entry: StoredJournalEntry): void {
    this.#kept.push(this.#eventFrom(entry));
    this.#end = entry.sequence;
  }

  #eventFrom({ sequence, alarm }: StoredJournalEntry): AlarmEvent {
    return { sequence, site: alarm.site, data: JSON.stringify(this.#answer(alarm)) };
  }
}
