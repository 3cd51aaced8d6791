export {
  type AlertingOnLine,
  type HouseLine,
  houseHealth,
  type IngestOnLine,
} from './house-line.ts';
export { openMemoryLine } from './memory-line.ts';
export type { FarStores } from './mqtt/far-ingest.ts';
export type { WireAddress } from './mqtt/house-wire.ts';
export { type MqttLineOptions, openMqttLine } from './mqtt-line.ts';
