export * from './clock-faults.ts';
export * from './condition.ts';
export * from './condition-of.ts';
export * from './diagnosis/advice.ts';
export * from './diagnosis/diagnose.ts';
export * from './diagnosis/evidence-table.ts';
export * from './diagnosis/fitted-factors.ts';
export * from './diagnosis/hypotheses.ts';
export * from './diagnosis/update.ts';
export type { MatchedLeakage } from './response/before-repair.ts';
export type { HumidityBand } from './response/humidity-coverage.ts';
export * from './response/humidity-curve.ts';
export * from './response/leakage-growth.ts';
export type {
  LeakageOutlook,
  RepairComparison,
} from './response/leakage-outlook.ts';
export type { LeakageSide } from './response/response-side.ts';
export * from './response/time-to-limit.ts';
export * from './silence.ts';
export * from './site/neighbours.ts';
export {
  type PowerSlice,
  type PowerSpell,
  powerSpellStarts,
  withoutPowerSinceMs,
} from './site/power-spells.ts';
export * from './vocabulary.ts';
export * from './watch.ts';
export * from './watch-state.ts';
export * from './weather-track.ts';
export * from './wetting-since.ts';
