import type { UnitCondition } from '@lineside/anomaly';
import type { Reading } from '@lineside/readings';
import type { Logger } from 'pino';
import type { FarStores } from './far-ingest.ts';
import type { ConditionNews } from './news.ts';

/** Checkpoints are saved every 15 s, so that what was judged by now is in them after this. */
const CHECKPOINTS_AFTER_MS = 20_000;

/** The stores are read at most so often: all checkpoints of a large fleet are megabytes. */
const READS_APART_MS = 5_000;

interface HeardCondition {
  readonly condition: UnitCondition;
  readonly heardAtMs: number;
}

/** Newest reading and condition of each unit: what was heard, else what the stores have. */
export class UnitBook {
  readonly #stores: Pick<FarStores, 'readings' | 'conditions'>;
  readonly #log: Logger;
  readonly #readings = new Map<string, Reading>();
  readonly #conditions = new Map<string, HeardCondition>();
  #reading: Promise<void> | null = null;
  #soon: NodeJS.Timeout | null = null;
  #later: NodeJS.Timeout | null = null;
  #readAtMs = Number.NEGATIVE_INFINITY;
  #isStopped = false;

  constructor(stores: Pick<FarStores, 'readings' | 'conditions'>, log: Logger) {
    this.#stores = stores;
    this.#log = log;
  }

  latest(site: string, unit: string): Reading | null {
    return this.#readings.get(`${site}/${unit}`) ?? null;
  }

  condition(site: string, unit: string): UnitCondition | null {
    return this.#conditions.get(`${site}/${unit}`)?.condition ?? null;
  }

  takeReadings(readings: readonly Reading[]): void {
    for (const reading of readings) {
      const key = `${reading.site}/${reading.unit}`;
      const known = this.#readings.get(key);
      if (known === undefined || known.atMs <= reading.atMs) this.#readings.set(key, reading);
    }
  }

  takeConditions(conditions: readonly ConditionNews[]): void {
    const heardAtMs = performance.now();
    for (const { site, unit, condition } of conditions) {
      this.#conditions.set(`${site}/${unit}`, { condition, heardAtMs });
    }
  }

  /** Something was not heard: reads it soon, and again when the checkpoints have it. */
  readAgain(): void {
    if (this.#isStopped) return;
    const waitMs = Math.max(0, this.#readAtMs + READS_APART_MS - performance.now());
    this.#soon ??= setTimeout(() => {
      this.#soon = null;
      void this.read();
    }, waitMs).unref();
    // What was missed last counts.
    if (this.#later !== null) clearTimeout(this.#later);
    this.#later = setTimeout(() => {
      this.#later = null;
      void this.read();
    }, CHECKPOINTS_AFTER_MS).unref();
  }

  /** Resolves when it is read, or cannot be and is tried again later. */
  async read(): Promise<void> {
    this.#reading ??= this.#readAll().finally(() => {
      this.#reading = null;
    });
    await this.#reading;
  }

  stop(): void {
    this.#isStopped = true;
    for (const timer of [this.#soon, this.#later]) if (timer !== null) clearTimeout(timer);
  }

  async #readAll(): Promise<void> {
    this.#readAtMs = performance.now();
    const found = await Promise.allSettled([
      this.#stores.readings(),
      this.#stores.conditions?.() ?? [],
    ]);
    const [readings, conditions] = found;
    if (readings.status === 'fulfilled') this.takeReadings(readings.value);
    if (conditions.status === 'fulfilled') this.#takeStored(conditions.value);
    const failed = found.find((one) => one.status === 'rejected');
    if (failed === undefined || this.#isStopped) return;
    this.#log.warn({ err: failed.reason }, 'what ingest stored cannot be read; tried again');
    this.readAgain();
  }

  /** What was heard lately may be newer than its checkpoint. */
  #takeStored(conditions: readonly ConditionNews[]): void {
    const nowMs = performance.now();
    for (const { site, unit, condition } of conditions) {
      const key = `${site}/${unit}`;
      const known = this.#conditions.get(key);
      const isFresh = known !== undefined && nowMs - known.heardAtMs < CHECKPOINTS_AFTER_MS;
      if (isFresh && known.condition.atMs >= condition.atMs) continue;
      this.#conditions.set(key, { condition, heardAtMs: Number.NEGATIVE_INFINITY });
    }
  }
}
