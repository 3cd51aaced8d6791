import { serveWorker } from '../../worker/serve-worker.ts';
import { sqliteFailure } from '../sqlite-failure.ts';
import { TelemetryReader, type TelemetryReaderOptions } from './telemetry-reader.ts';

serveWorker((options: TelemetryReaderOptions) => new TelemetryReader(options), sqliteFailure);
