import { mkdir } from 'node:fs/promises';
import type { Reading } from '@lineside/readings';
import {
  checkExtremesQuery,
  checkQuartersQueries,
  checkRangeQuery,
  checkReadingsQuery,
  checkTime,
} from '../../ports/check-telemetry-query.ts';
import { StoreError } from '../../ports/store-error.ts';
import type {
  AppendReport,
  ExtremesQuery,
  QuarterSeries,
  QuartersQuery,
  RangeQuery,
  RangeResult,
  ReadingsQuery,
  TelemetryStore,
  UnitExtremes,
} from '../../ports/telemetry-store.ts';
import { startWorker, type WorkerHandle } from '../../worker/start-worker.ts';
import { transferring } from '../../worker/transferring.ts';
import { workerEntry } from '../../worker/worker-entry.ts';
import { sqliteFailure } from '../sqlite-failure.ts';
import { packReadings, unpackReadings } from './packed-readings.ts';
import type { TelemetryReader } from './telemetry-reader.ts';
import type { TelemetryWriter } from './telemetry-writer.ts';

/**
 * Readings of one batch. 100,000 with nine channels travel as 10 MB and take about a second to
 * store; larger batches would hold up the writing thread for nothing.
 */
export const APPEND_MOST_READINGS = 100_000;

export interface TelemetryStoreOptions {
  /** Folder of the weeks' files, created when missing; nothing else should lie in it. */
  readonly folder: string;
}

/**
 * Telemetry in SQLite files, one a UTC week, behind two worker threads: one writes, one reads, and
 * the caller's thread only packs and unpacks.
 *
 * A week's file that is damaged or not ours does not keep the others from being used: questions
 * about its times, and readings for it, reject with `STORE_UNAVAILABLE` naming the file; `latest`
 * passes over it. Two programs may write to one folder; they wait for each other up to 5 s.
 *
 * @throws StoreError `STORE_NEWER_SCHEMA` when any file was written by a newer program,
 *   `STORE_FULL`, `STORE_UNAVAILABLE`.
 */
export async function openTelemetryStore(options: TelemetryStoreOptions): Promise<TelemetryStore> {
  const { folder } = options;
  try {
    await mkdir(folder, { recursive: true });
  } catch (error) {
    throw sqliteFailure(error, folder);
  }
  const [reader, writer] = await Promise.allSettled([
    startWorker<TelemetryReader>(beside('./telemetry-reader-entry'), { folder }),
    startWorker<TelemetryWriter>(beside('./telemetry-writer-entry'), { folder }),
  ]);
  if (reader.status === 'fulfilled' && writer.status === 'fulfilled') {
    return new SqliteTelemetryStore(writer.value, reader.value);
  }
  for (const one of [reader, writer]) if (one.status === 'fulfilled') await one.value.close();
  throw reader.status === 'rejected' ? reader.reason : (writer as PromiseRejectedResult).reason;
}

function beside(name: string): URL {
  return workerEntry(import.meta.url, name);
}

class SqliteTelemetryStore implements TelemetryStore {
  readonly lacks: Readonly<Record<string, string>> = {};
  readonly #writer: WorkerHandle<TelemetryWriter>;
  readonly #reader: WorkerHandle<TelemetryReader>;
  #closed: Promise<void> | null = null;

  constructor(writer: WorkerHandle<TelemetryWriter>, reader: WorkerHandle<TelemetryReader>) {
    this.#writer = writer;
    this.#reader = reader;
  }

  async append(readings: readonly Reading[]): Promise<AppendReport> {
    this.#refuseClosed('append');
    if (readings.length > APPEND_MOST_READINGS) {
      const message = `${readings.length} readings in one batch, more than ${APPEND_MOST_READINGS}`;
      throw new StoreError('STORE_BAD_INPUT', message);
    }
    const packed = packReadings(readings);
    return this.#writer.methods.append(transferring(packed, [packed.rows.buffer]));
  }

  async range(query: RangeQuery): Promise<RangeResult> {
    this.#refuseClosed('range');
    checkRangeQuery(query);
    return this.#reader.methods.range(query);
  }

  async rangeJson(query: RangeQuery): Promise<Uint8Array> {
    this.#refuseClosed('rangeJson');
    checkRangeQuery(query);
    return this.#reader.methods.rangeJson(query);
  }

  async readings(query: ReadingsQuery): Promise<readonly Reading[]> {
    this.#refuseClosed('readings');
    checkReadingsQuery(query);
    return unpackReadings(await this.#reader.methods.readings(query));
  }

  async latest(): Promise<readonly Reading[]> {
    this.#refuseClosed('latest');
    return unpackReadings(await this.#reader.methods.latest());
  }

  async extremes(query: ExtremesQuery): Promise<readonly UnitExtremes[]> {
    this.#refuseClosed('extremes');
    checkExtremesQuery(query);
    return this.#reader.methods.extremes(query);
  }

  async quarters(queries: readonly QuartersQuery[]): Promise<readonly QuarterSeries[]> {
    this.#refuseClosed('quarters');
    checkQuartersQueries(queries);
    return this.#reader.methods.quarters(queries);
  }

  async dropBefore(beforeMs: number): Promise<void> {
    this.#refuseClosed('dropBefore');
    checkTime('beforeMs', beforeMs);
    await this.#writer.methods.dropBefore(beforeMs);
    await this.#reader.methods.forgetBefore(beforeMs);
  }

  async backup(folder: string): Promise<void> {
    this.#refuseClosed('backup');
    await this.#reader.methods.backup(folder);
  }

  close(): Promise<void> {
    this.#closed ??= this.#closeThreads();
    return this.#closed;
  }

  /** The writer last: closing the last connection to a file folds its log into it. */
  async #closeThreads(): Promise<void> {
    try {
      await this.#reader.close();
    } finally {
      await this.#writer.close();
    }
  }

  #refuseClosed(method: string): void {
    if (this.#closed === null) return;
    throw new StoreError('STORE_CLOSED', `The telemetry store was closed before ${method}`);
  }
}
