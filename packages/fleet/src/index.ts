export * from './apply-fleet.ts';
export * from './fleet-document.ts';
export * from './limits.ts';
export * from './parse-fleet-file.ts';
export * from './stored-fleet.ts';
export * from './to-fleet.ts';
export * from './unit.ts';
