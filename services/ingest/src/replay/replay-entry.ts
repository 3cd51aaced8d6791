import { serveWorker, type TelemetrySource } from '@lineside/storage';
import { ReplayWorker } from './replay-worker.ts';

serveWorker((source: TelemetrySource) => new ReplayWorker(source));
