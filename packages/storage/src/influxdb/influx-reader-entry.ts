import { serveWorker } from '../worker/serve-worker.ts';
import type { KnownInflux } from './influx-options.ts';
import { InfluxReader } from './influx-reader.ts';

serveWorker((options: KnownInflux) => new InfluxReader(options));
