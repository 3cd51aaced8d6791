import { serveWorker } from '../../worker/serve-worker.ts';
import { sqliteFailure } from '../sqlite-failure.ts';
import { TelemetryWriter, type TelemetryWriterOptions } from './telemetry-writer.ts';

serveWorker((options: TelemetryWriterOptions) => new TelemetryWriter(options), sqliteFailure);
