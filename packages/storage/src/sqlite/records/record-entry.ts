import { serveWorker } from '../../worker/serve-worker.ts';
import { createRecordAdapter, type RecordStoreOptions } from './record-adapter.ts';
import { recordFailure } from './record-failure.ts';

let file = 'The record store';

serveWorker(
  (options: RecordStoreOptions) => {
    // Messages name the file, also when it cannot be opened.
    file = options.file;
    return createRecordAdapter(options);
  },
  (error) => recordFailure(error, file),
);
