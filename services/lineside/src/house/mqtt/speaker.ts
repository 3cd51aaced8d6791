import { randomUUID } from 'node:crypto';
import type { UnitCondition } from '@lineside/anomaly';
import type { Reading } from '@lineside/readings';
import type { NearIngest } from '../near-ingest.ts';
import type { HouseWire } from './house-wire.ts';
import {
  BEAT_EVERY_MS,
  type Beat,
  type ConditionNews,
  type ConditionsNews,
  type NewsKind,
  questionShape,
  type ReadingsNews,
  unitShape,
} from './news.ts';
import { HOUSE_TOPICS } from './topics.ts';

/** News are gathered so long: people do not see it, and a broker gets few messages. */
const GATHER_MS = 100;

/** About 100 bytes each, so that a message stays far below what any broker takes. */
const READINGS_PER_MESSAGE = 500;

/** About 1 KiB each. */
const CONDITIONS_PER_MESSAGE = 100;

/** Told of one gathering; of more, as in a node's backlog, the newest of each unit. */
const READINGS_AT_ONCE = 1_000;

/** Told of one gathering; the others come with the next. */
const CONDITIONS_AT_ONCE = 100;

/** Tells the other processes what ingest does, and answers them. */
export class Speaker {
  readonly #wire: HouseWire;
  readonly #ingest: NearIngest;
  readonly #run: string = randomUUID();
  readonly #told: Record<NewsKind, number> = { readings: 0, conditions: 0 };
  readonly #conditions = new Map<string, ConditionNews>();
  readonly #timers: readonly NodeJS.Timeout[];
  #readings: Reading[] = [];
  #hasJournalGrown = false;

  constructor(wire: HouseWire, ingest: NearIngest) {
    this.#wire = wire;
    this.#ingest = ingest;
    wire.answer(HOUSE_TOPICS.askIngest, (question) => this.#answer(question));
    wire.hear(HOUSE_TOPICS.journal, (from) => {
      if (from !== this.#run) ingest.journalGrew();
    });
    wire.hear(HOUSE_TOPICS.service, (message) => {
      const { site, unit } = unitShape.parse(message);
      ingest.serviceRecorded(site, unit);
    });
    ingest.onReadings((readings) => {
      for (const reading of readings) this.#readings.push(reading);
    });
    ingest.onCondition((site, unit, condition) => this.#note(site, unit, condition));
    ingest.onJournal(() => {
      this.#hasJournalGrown = true;
    });
    wire.onUp(() => this.beat());
    this.#timers = [
      setInterval(() => this.#tell(), GATHER_MS).unref(),
      setInterval(() => this.beat(), BEAT_EVERY_MS).unref(),
    ];
  }

  beat(): void {
    const { isThere: serves } = this.#ingest;
    const told = { ...this.#told };
    const beat: Beat = { run: this.#run, told, serves, pulse: this.#ingest.pulse() };
    this.#wire.tell(HOUSE_TOPICS.beat, beat);
  }

  stop(): void {
    this.#timers.forEach(clearInterval);
    this.#tell();
  }

  #note(site: string, unit: string, condition: UnitCondition): void {
    const key = `${site}/${unit}`;
    // At the end of the line again, so that no unit waits behind busy ones.
    this.#conditions.delete(key);
    this.#conditions.set(key, { site, unit, condition });
  }

  #tell(): void {
    if (this.#hasJournalGrown) {
      this.#hasJournalGrown = false;
      this.#wire.tell(HOUSE_TOPICS.journal, this.#run);
    }
    this.#tellReadings();
    this.#tellConditions();
  }

  #tellReadings(): void {
    if (this.#readings.length === 0) return;
    const gathered = this.#readings;
    this.#readings = [];
    const some = gathered.length > READINGS_AT_ONCE ? newestOfEach(gathered) : gathered;
    for (let from = 0; from < some.length; from += READINGS_PER_MESSAGE) {
      const readings = some.slice(from, from + READINGS_PER_MESSAGE);
      const news: ReadingsNews = { ...this.#numbered('readings'), readings };
      this.#wire.tell(HOUSE_TOPICS.readings, news);
    }
  }

  #tellConditions(): void {
    const some = [...this.#conditions].slice(0, CONDITIONS_AT_ONCE);
    for (const [key] of some) this.#conditions.delete(key);
    for (let from = 0; from < some.length; from += CONDITIONS_PER_MESSAGE) {
      const conditions = some.slice(from, from + CONDITIONS_PER_MESSAGE).map(([, one]) => one);
      const news: ConditionsNews = { ...this.#numbered('conditions'), conditions };
      this.#wire.tell(HOUSE_TOPICS.conditions, news);
    }
  }

  /** What cannot be told has a number all the same: so it is missed. */
  #numbered(kind: NewsKind): { readonly run: string; readonly sequence: number } {
    this.#told[kind] += 1;
    return { run: this.#run, sequence: this.#told[kind] };
  }

  async #answer(asked: unknown): Promise<unknown> {
    const question = questionShape.parse(asked);
    return question.what === 'health'
      ? this.#ingest.health()
      : this.#ingest.judgedThroughMs(question.units);
  }
}

function newestOfEach(readings: readonly Reading[]): readonly Reading[] {
  const newest = new Map<string, Reading>();
  for (const reading of readings) {
    const key = `${reading.site}/${reading.unit}`;
    const known = newest.get(key);
    if (known === undefined || known.atMs <= reading.atMs) newest.set(key, reading);
  }
  return [...newest.values()];
}
