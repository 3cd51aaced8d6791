import { startWorker, workerEntry } from '@lineside/storage';
import type { ReplayWorker, ReplayWorkerOptions } from './replay-worker.ts';
import type { Replayer } from './replayer.ts';

/** A replayer on a thread of its own that reads the telemetry store's files. */
export async function startReplayWorker(options: ReplayWorkerOptions): Promise<Replayer> {
  const entry = workerEntry(import.meta.url, './replay-entry');
  const { methods, close } = await startWorker<ReplayWorker>(entry, options);
  return { replay: (request) => methods.replay(request), close };
}
