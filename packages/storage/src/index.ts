export type { InfluxOptions } from './influxdb/influx-options.ts';
export { openInfluxStore } from './influxdb/open-influx-store.ts';
export * from './ports/alarm-life-records.ts';
export * from './ports/alerting-records.ts';
export * from './ports/calendar-records.ts';
export { RANGE_MOST_POINTS } from './ports/check-telemetry-query.ts';
export * from './ports/node-records.ts';
export * from './ports/on-call-records.ts';
export * from './ports/record-store.ts';
export * from './ports/store-error.ts';
export * from './ports/store-upkeep.ts';
export * from './ports/telemetry-store.ts';
export { checkCopy, type RowCounts } from './sqlite/check-copy.ts';
export { type FrozenStores, freezeStores } from './sqlite/freeze-stores.ts';
export type { FrozenDatabase } from './sqlite/frozen-database.ts';
export { openRecordStore } from './sqlite/records/open-record-store.ts';
export type { RecordStoreOptions } from './sqlite/records/record-adapter.ts';
export {
  openTelemetryStore,
  type TelemetryStoreOptions,
} from './sqlite/telemetry/open-telemetry-store.ts';
export { prepareStore, storeStatus } from './store-upkeep.ts';
export {
  openReadings,
  openTelemetry,
  type ReadingsDoor,
  type TelemetrySource,
} from './telemetry-source.ts';
export { APPEND_MOST_READINGS } from './threaded-telemetry-store.ts';
export { serveWorker, type WorkerAdapter } from './worker/serve-worker.ts';
export { startWorker, type WorkerHandle } from './worker/start-worker.ts';
export { workerEntry } from './worker/worker-entry.ts';
