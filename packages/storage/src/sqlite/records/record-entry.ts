import { serveWorker } from '../../worker/serve-worker.ts';
import { createRecordAdapter, type RecordStoreOptions } from './record-adapter.ts';
import { recordFailure } from './record-failure.ts';

serveWorker(
  (options: RecordStoreOptions) => createRecordAdapter(options),
  (error) => recordFailure(error, 'The record store'),
);
