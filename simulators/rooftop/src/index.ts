export * from './demo-fleet.ts';
export * from './scenarios/demo-scenario.ts';
export type { Climate, StormStage } from './world/climate.ts';
export { CLIMATES } from './world/climate.ts';
export * from './world/scenario.ts';
export type { ServiceRecord } from './world/technician.ts';
export type { SimulatedReading, UnitTruth, UnitWorld } from './world/unit-world.ts';
export * from './world/world.ts';
