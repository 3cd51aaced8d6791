import { compareServices } from '@lineside/judging';
import type { RecordStore, ServiceRecord, UnitRef } from '@lineside/storage';
import type { Logger } from 'pino';
import { growingPauseMs, type Pauses } from '../commit/pause.ts';
import { unitKey } from '../fleet-index.ts';
import { eventOf } from '../replay/prepare-replay.ts';
import { END_OF_TIMES_MS } from './all-times.ts';

/** Service records of one unit that its watch has not heard of. */
export interface NewService {
  readonly ref: UnitRef;
  /** In the order in which they are judged. */
  readonly records: readonly ServiceRecord[];
  /** All ids that the watch has heard of once these are judged. */
  readonly heardIds: ReadonlySet<string>;
}

/** Reads what was newly recorded about a unit, given the ids that its watch knows. */
export async function newService(
  records: Pick<RecordStore, 'serviceBetween'>,
  ref: UnitRef,
  heard: ReadonlySet<string>,
): Promise<NewService> {
  const all = await records.serviceBetween(ref, 0, END_OF_TIMES_MS);
  return {
    ref,
    records: all
      .filter((record) => !heard.has(record.id))
      .sort((one, other) => compareServices(eventOf(one), eventOf(other))),
    heardIds: new Set(all.map((record) => record.id)),
  };
}

/** Units about which something was recorded. */
export class ServiceInbox {
  readonly #records: Pick<RecordStore, 'serviceBetween'>;
  readonly #pauses: Pauses;
  readonly #log: Logger;
  readonly #announced = new Map<string, UnitRef>();
  #taken = 0;

  constructor(records: Pick<RecordStore, 'serviceBetween'>, pauses: Pauses, log: Logger) {
    this.#records = records;
    this.#pauses = pauses;
    this.#log = log;
  }

  /** Units announced, those being judged included. */
  get waiting(): number {
    return this.#announced.size + this.#taken;
  }

  announce(ref: UnitRef): void {
    this.#announced.set(unitKey(ref.site, ref.unit), ref);
  }

  /** New records of the units announced since the last call; null only while closing. */
  async take(heardIds: (ref: UnitRef) => ReadonlySet<string>): Promise<NewService[] | null> {
    const refs = [...this.#announced.values()];
    this.#announced.clear();
    this.#taken = refs.length;
    for (let attempt = 1; ; attempt++) {
      try {
        const found: NewService[] = [];
        for (const ref of refs) {
          found.push(await newService(this.#records, ref, heardIds(ref)));
        }
        return found;
      } catch (error) {
        this.#log.warn({ err: error }, 'service records cannot be read; tried again');
        if (this.#pauses.ended) {
          return null;
        }
        await this.#pauses.wait(growingPauseMs(attempt));
      }
    }
  }

  /** What was taken last is judged. */
  done(): void {
    this.#taken = 0;
  }
}
