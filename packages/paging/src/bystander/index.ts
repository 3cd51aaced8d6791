export * from './heartbeat.ts';
export { type BystanderLimits, DEFAULT_BYSTANDER_LIMITS } from './limits.ts';
export { type PartWatch, WELL } from './part-watch.ts';
export * from './step-bystander.ts';
export { type TellingWords, tellingWords } from './telling-words.ts';
