import { workerData } from 'node:worker_threads';
import { register } from 'tsx/esm/api';

// Development only: lets Node 20 load a worker's entry from TypeScript. See worker-entry.ts.
register();
await import(workerData.entry);
