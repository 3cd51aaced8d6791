import type { UnitCondition } from '@lineside/anomaly';
import type { PartHealth } from '@lineside/api';
import type { IngestPulse } from '@lineside/ingest';
import type { Reading } from '@lineside/readings';
import type { UnitRef } from '@lineside/storage';
import type { Logger } from 'pino';
import { down, type IngestHealth, type IngestSide, WELL } from '../house-line.ts';
import { IngestNews } from '../ingest-news.ts';
import { FarPulse } from './far-pulse.ts';
import type { HouseWire } from './house-wire.ts';
import {
  ANSWER_WITHIN_MS,
  beatShape,
  type ConditionNews,
  healthShape,
  type IngestQuestion,
  isConditionsNews,
  isReadingsNews,
  judgedThroughShape,
  NEWS_KINDS,
  UNITS_PER_QUESTION,
} from './news.ts';
import { NewsCount } from './news-count.ts';
import { HOUSE_TOPICS } from './topics.ts';
import { UnitBook } from './unit-book.ts';

/** Where it is read what was not heard. */
export interface FarStores {
  /** The newest reading of each unit. Rejects with `StoreError`. */
  readings(): Promise<readonly Reading[]>;
  /**
   * The condition of each unit as of its last checkpoint. Rejects with `StoreError`. Null: nobody
   * here asks for conditions, and they are not heard.
   */
  readonly conditions: (() => Promise<readonly ConditionNews[]>) | null;
  /** Whether the records can be read now. */
  records(): Promise<PartHealth>;
}

/** Ingest of another process, as it was heard and as the stores have it. */
export class FarIngest extends IngestNews implements IngestSide {
  readonly #wire: HouseWire;
  readonly #stores: FarStores;
  readonly #book: UnitBook;
  readonly #pulse: FarPulse = new FarPulse();
  readonly #count: NewsCount;

  constructor(wire: HouseWire, stores: FarStores, log: Logger) {
    super(log);
    this.#wire = wire;
    this.#stores = stores;
    this.#book = new UnitBook(stores, log);
    this.#count = new NewsCount(stores.conditions === null ? ['readings'] : NEWS_KINDS, {
      onMissed: () => this.#book.readAgain(),
      onNewRun: () => this.fleet.tell(),
    });
    this.#hearAll();
  }

  /** Reads what is stored; what cannot be read is tried again later. */
  begin(): Promise<void> {
    return this.#book.read();
  }

  stop(): void {
    this.#book.stop();
  }

  /** Asked of ingest each time, since nobody else knows what waits there. */
  async health(): Promise<IngestHealth> {
    const { state } = this.#wire;
    if (!state.isUp) {
      const words = `cannot be asked without the broker: ${state.reason}`;
      return this.#without(down(state.reason), words);
    }
    try {
      return healthShape.parse(await this.#ask({ what: 'health' }));
    } catch (error) {
      const words = error instanceof Error ? error.message : String(error);
      return this.#without(WELL, `${words}; see that 'lineside serve --only ingest' runs`);
    }
  }

  pulse(): IngestPulse {
    return this.#pulse.now();
  }

  condition(site: string, unit: string): UnitCondition | null {
    return this.#book.condition(site, unit);
  }

  latest(site: string, unit: string): Reading | null {
    return this.#book.latest(site, unit);
  }

  async judgedThroughMs(units: readonly UnitRef[]): Promise<readonly (number | null)[]> {
    try {
      const some = units.slice(0, UNITS_PER_QUESTION);
      const answer = await this.#ask({ what: 'judged-through', units: some });
      const known = judgedThroughShape.parse(answer);
      return units.map((_, index) => known[index] ?? null);
    } catch {
      return units.map(() => null);
    }
  }

  /** Not to ourselves alone: alerting hears it as well. */
  journalGrew(): void {
    if (!this.#wire.tell(HOUSE_TOPICS.journal, null)) this.journal.tell();
  }

  serviceRecorded(site: string, unit: string): void {
    this.#wire.tell(HOUSE_TOPICS.service, { site, unit });
  }

  #hearAll(): void {
    this.#wire.hear(HOUSE_TOPICS.beat, (message) => {
      const beat = beatShape.parse(message);
      this.#pulse.heard(beat);
      this.#count.beat(beat);
    });
    this.#wire.hear(HOUSE_TOPICS.readings, (message) => {
      if (!isReadingsNews(message)) throw new TypeError('no readings');
      this.#count.news('readings', message);
      this.#book.takeReadings(message.readings);
      this.readings.tell(message.readings);
    });
    if (this.#stores.conditions !== null) {
      this.#wire.hear(HOUSE_TOPICS.conditions, (message) => this.#hearConditions(message));
    }
    this.#wire.hear(HOUSE_TOPICS.journal, () => this.journal.tell());
    this.#wire.onUp(() => {
      this.#count.forget();
      this.journal.tell();
      this.fleet.tell();
    });
  }

  #hearConditions(message: unknown): void {
    if (!isConditionsNews(message)) throw new TypeError('no conditions');
    this.#count.news('conditions', message);
    this.#book.takeConditions(message.conditions);
    for (const { site, unit, condition } of message.conditions) {
      this.conditions.tell(site, unit, condition);
    }
  }

  #ask(question: IngestQuestion): Promise<unknown> {
    return this.#wire.ask(HOUSE_TOPICS.askIngest, question, ANSWER_WITHIN_MS);
  }

  async #without(broker: PartHealth, words: string): Promise<IngestHealth> {
    const telemetry: PartHealth = { state: 'degraded', reason: `only ingest can tell: ${words}` };
    const records = await this.#stores.records();
    return { ingest: down(words), broker, telemetry, records, pending: null };
  }
}
