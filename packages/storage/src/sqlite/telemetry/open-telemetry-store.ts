import { mkdir } from 'node:fs/promises';
import type { TelemetryStore } from '../../ports/telemetry-store.ts';
import { ThreadedTelemetryStore } from '../../threaded-telemetry-store.ts';
import { startWorker } from '../../worker/start-worker.ts';
import { workerEntry } from '../../worker/worker-entry.ts';
import { sqliteFailure } from '../sqlite-failure.ts';
import type { TelemetryReader } from './telemetry-reader.ts';
import type { TelemetryWriter } from './telemetry-writer.ts';

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
    return new ThreadedTelemetryStore(writer.value, reader.value);
  }
  for (const one of [reader, writer]) if (one.status === 'fulfilled') await one.value.close();
  throw reader.status === 'rejected' ? reader.reason : (writer as PromiseRejectedResult).reason;
}

function beside(name: string): URL {
  return workerEntry(import.meta.url, name);
}
