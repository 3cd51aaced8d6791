import { Worker } from 'node:worker_threads';
import type { PublishProgress } from './publish/publish-fleet.ts';
import type { SimulatorInput, SimulatorOrder, SimulatorReport } from './worker-messages.ts';
import type { ServiceRecord } from './world/technician.ts';

export interface SimulatorOptions extends Omit<SimulatorInput, 'postsService'> {
  readonly onProgress?: (progress: PublishProgress) => void;
  /** The thread waits for it; a rejection ends the simulator with that reason. */
  readonly postService?: (record: ServiceRecord) => Promise<void>;
}

export interface RunningSimulator {
  /** Resolves when the thread has ended; rejects with why it failed. */
  readonly ended: Promise<void>;
  /** Asks the thread to end and resolves when it has, within a second or two. */
  stop(): Promise<void>;
}

/** Longest that a thread may take to end before it is terminated. */
const STOP_MOST_MS = 2000;

/** Plays a fleet to a broker from a thread of its own, so that the server's thread stays free. */
export function startSimulator(options: SimulatorOptions): RunningSimulator {
  const { onProgress, postService, ...rest } = options;
  const input: SimulatorInput = { ...rest, postsService: postService !== undefined };
  const fromSource = import.meta.url.endsWith('.ts');
  const file = new URL(fromSource ? './source-worker.mjs' : './worker.js', import.meta.url);
  const worker = new Worker(file, {
    workerData: input,
    execArgv: fromSource ? ['--conditions=source'] : [],
  });
  const order = (message: SimulatorOrder): void => worker.postMessage(message);
  worker.on('message', (report: SimulatorReport) => {
    if (report.type === 'progress') onProgress?.(report.progress);
    else answerService(report.id, report.record, postService, order);
  });
  const ended = new Promise<void>((resolve, reject) => {
    worker.once('error', reject);
    worker.once('exit', () => resolve());
  });
  return {
    ended,
    stop: async () => {
      order({ type: 'stop' });
      const timer = setTimeout(() => {
        worker.terminate().catch(() => undefined);
      }, STOP_MOST_MS);
      await ended.finally(() => clearTimeout(timer));
    },
  };
}

function answerService(
  id: number,
  record: ServiceRecord,
  postService: SimulatorOptions['postService'],
  order: (message: SimulatorOrder) => void,
): void {
  const posted = postService?.(record) ?? Promise.resolve();
  posted.then(
    () => order({ type: 'service-posted', id, problem: null }),
    (error: unknown) => {
      const problem = error instanceof Error ? error.message : String(error);
      order({ type: 'service-posted', id, problem });
    },
  );
}
