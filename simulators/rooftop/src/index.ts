export * from './demo-fleet.ts';
export type { NodeCredentials } from './publish/node-link.ts';
export * from './publish/publish-fleet.ts';
export {
  type RunOptions,
  type RunReading,
  type RunReport,
  type RunSink,
  runWorld,
} from './run/run-world.ts';
export { type RunCounts, type RunFiles, runFiles, writeRun } from './run/write-run.ts';
export * from './scenarios/demo-scenario.ts';
export * from './scenarios/fleet-scenario.ts';
export * from './start-simulator.ts';
export type * from './truth/truth.ts';
export { worldTruth } from './truth/world-truth.ts';
export type { Climate, ClimateName, StormStage } from './world/climate.ts';
export { CLIMATE_NAMES, CLIMATES } from './world/climate.ts';
export { DEPOSIT_KINDS } from './world/deposit-kinds.ts';
export { balancedWetness, followWetness, type SurfaceMoisture } from './world/deposits.ts';
export { type HourlyReport, parseHourlyCsv } from './world/hourly-report.ts';
export { CURRENT_NOISE_AMPS, VOLTAGE_NOISE_VOLTS } from './world/node.ts';
export { type RandomStream, randomStream } from './world/random.ts';
export * from './world/scenario.ts';
export type { ServiceRecord } from './world/technician.ts';
export type { SimulatedReading, UnitTruth, UnitWorld } from './world/unit-world.ts';
export * from './world/world.ts';
