export * from './channel-table.ts';
export * from './channels.ts';
export * from './decode-pack.ts';
export * from './encode-pack.ts';
export * from './pack-limits.ts';
export * from './presence.ts';
export * from './quarantine-codes.ts';
export type { PackReading } from './reading-collector.ts';
export { SENML_HIGHEST_VERSION } from './senml-fields.ts';
export {
  type ResolvedRecord,
  resolveSenml,
  SENML_ABSOLUTE_FROM_SECONDS,
  type SenmlResolution,
} from './senml-resolve.ts';
export * from './topic.ts';
