import { serveWorker } from '@lineside/storage';
import { ReplayWorker, type ReplayWorkerOptions } from './replay-worker.ts';

serveWorker((options: ReplayWorkerOptions) => new ReplayWorker(options));
