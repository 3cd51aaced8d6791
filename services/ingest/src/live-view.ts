import type { UnitCondition } from '@lineside/anomaly';
import type { Reading } from '@lineside/readings';
import type { Logger } from 'pino';
import { unitKey } from './fleet-index.ts';
import type { Ingest } from './ingest.ts';

/** The newest reading of each unit, and those who want to hear of news. */
export class LiveView {
  readonly #log: Logger;
  readonly #latest = new Map<string, Reading>();
  readonly #onReadings = new Set<Parameters<Ingest['onReadings']>[0]>();
  readonly #onCondition = new Set<Parameters<Ingest['onCondition']>[0]>();
  readonly #onJournal = new Set<() => void>();

  constructor(log: Logger) {
    this.#log = log;
  }

  latest(site: string, unit: string): Reading | null {
    return this.#latest.get(unitKey(site, unit)) ?? null;
  }

  onReadings(listener: Parameters<Ingest['onReadings']>[0]): () => void {
    return subscribe(this.#onReadings, listener);
  }

  onCondition(listener: Parameters<Ingest['onCondition']>[0]): () => void {
    return subscribe(this.#onCondition, listener);
  }

  onJournal(listener: () => void): () => void {
    return subscribe(this.#onJournal, listener);
  }

  /** Takes over what is stored, without telling anybody. */
  fill(readings: readonly Reading[]): void {
    for (const reading of readings) {
      const key = unitKey(reading.site, reading.unit);
      const known = this.#latest.get(key);
      if (known === undefined || known.atMs <= reading.atMs) {
        this.#latest.set(key, reading);
      }
    }
  }

  committed(readings: readonly Reading[]): void {
    this.fill(readings);
    this.#tell(this.#onReadings, (listener) => listener(readings));
  }

  judged(site: string, unit: string, condition: UnitCondition): void {
    this.#tell(this.#onCondition, (listener) => listener(site, unit, condition));
  }

  journalGrew(): void {
    this.#tell(this.#onJournal, (listener) => listener());
  }

  /** A listener that fails must not keep an acknowledgement or a judgement back. */
  #tell<T>(listeners: ReadonlySet<T>, call: (listener: T) => void): void {
    for (const listener of listeners) {
      try {
        call(listener);
      } catch (error) {
        this.#log.error({ err: error }, 'a listener of live readings failed');
      }
    }
  }
}

function subscribe<T>(listeners: Set<T>, listener: T): () => void {
  listeners.add(listener);
  return () => {
    listeners.delete(listener);
  };
}
