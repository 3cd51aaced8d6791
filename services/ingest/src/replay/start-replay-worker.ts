import { startWorker, type TelemetrySource, workerEntry } from '@lineside/storage';
import type { ReplayWorker } from './replay-worker.ts';
import type { Replayer } from './replayer.ts';

/** A replayer on a thread of its own that reads the telemetry store by itself. */
export async function startReplayWorker(source: TelemetrySource): Promise<Replayer> {
  const entry = workerEntry(import.meta.url, './replay-entry');
  const { methods, close } = await startWorker<ReplayWorker>(entry, source);
  return { replay: (request) => methods.replay(request), close };
}
