export {
  Broker as EmbeddedBroker,
  type BrokerParts,
  type OversizeMessage,
  type ReceivedMessage,
} from './broker/broker.ts';
export type { BrokerDoor, MakeBroker } from './broker/broker-door.ts';
export {
  hashSecret,
  makeNodeCredential,
  makeSecret,
  type NewNodeCredential,
} from './broker/credentials.ts';
export { mosquittoHash } from './broker/mosquitto-hash.ts';
export type * from './ingest.ts';
export { type StoredCondition, storedConditions } from './judging/stored-conditions.ts';
export {
  OutsideBroker,
  type OutsideBrokerLimits,
  OutsideBrokerRefused,
} from './outside-broker/outside-broker.ts';
export type * from './outside-broker/outside-settings.ts';
export { createReplayer } from './replay/create-replayer.ts';
export { judgeOtherwise, type OtherwiseParts } from './replay/judge-otherwise.ts';
export type { Replayer, ReplayRequest, ReplayResult } from './replay/replayer.ts';
export { startReplayWorker } from './replay/start-replay-worker.ts';
export { startIngest } from './start-ingest.ts';
