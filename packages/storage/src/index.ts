export { RANGE_MOST_POINTS } from './ports/check-telemetry-query.ts';
export * from './ports/record-store.ts';
export * from './ports/store-error.ts';
export * from './ports/telemetry-store.ts';
export { openRecordStore } from './sqlite/records/open-record-store.ts';
export type { RecordStoreOptions } from './sqlite/records/record-adapter.ts';
export {
  APPEND_MOST_READINGS,
  openTelemetryStore,
  type TelemetryStoreOptions,
} from './sqlite/telemetry/open-telemetry-store.ts';
