import { serveWorker } from '../worker/serve-worker.ts';
import type { KnownInflux } from './influx-options.ts';
import { InfluxWriter } from './influx-writer.ts';

serveWorker((options: KnownInflux) => new InfluxWriter(options));
