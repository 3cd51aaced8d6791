export * from './ports/record-store.ts';
export * from './ports/store-error.ts';
export * from './ports/telemetry-store.ts';
