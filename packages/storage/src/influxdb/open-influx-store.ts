import type { TelemetryStore } from '../ports/telemetry-store.ts';
import { ThreadedTelemetryStore } from '../threaded-telemetry-store.ts';
import { startWorker } from '../worker/start-worker.ts';
import { workerEntry } from '../worker/worker-entry.ts';
import { findInflux, prepareInflux } from './find-influx.ts';
import { lacksOf } from './generation.ts';
import type { InfluxOptions } from './influx-options.ts';
import type { InfluxReader } from './influx-reader.ts';
import type { InfluxWriter } from './influx-writer.ts';

/**
 * Telemetry in InfluxDB 1, 2 or 3, behind two worker threads: one writes, one reads.
 *
 * A batch is stored when the server has answered that it is. What fails is tried again four times
 * within four seconds and then rejects; writing the same batch again is harmless. `lacks` says what
 * the server's generation cannot do.
 *
 * @throws StoreError `STORE_UNAVAILABLE` when the server does not answer, is no InfluxDB, or does
 *   not let this token at the bucket.
 */
export async function openInfluxStore(options: InfluxOptions): Promise<TelemetryStore> {
  const known = await findInflux(options);
  await prepareInflux(known);
  const reader = await startWorker<InfluxReader>(beside('./influx-reader-entry'), known);
  try {
    const writer = await startWorker<InfluxWriter>(beside('./influx-writer-entry'), known);
    return new ThreadedTelemetryStore(writer, reader, {
      lacks: lacksOf(known.generation),
      sumUp: (nowMs) => writer.methods.sumUp(nowMs),
      // Generation 3 has nothing that could be asked for before its first write.
      ...(known.generation === 3 ? {} : { look: () => reader.methods.look() }),
      hurry: () => Promise.all([writer.methods.hurry(), reader.methods.hurry()]),
    });
  } catch (error) {
    await reader.close();
    throw error;
  }
}

function beside(name: string): URL {
  return workerEntry(import.meta.url, name);
}
