export { hashSecret, makeNodeCredential, type NewNodeCredential } from './broker/credentials.ts';
export type * from './ingest.ts';
export { startIngest } from './start-ingest.ts';
