export type { BrokerParts, ReceivedMessage } from './broker/broker.ts';
export type { BrokerDoor, MakeBroker } from './broker/broker-door.ts';
export { hashSecret, makeNodeCredential, type NewNodeCredential } from './broker/credentials.ts';
export type * from './ingest.ts';
export { startIngest } from './start-ingest.ts';
