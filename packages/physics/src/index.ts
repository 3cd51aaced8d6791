export * from './circuit.ts';
export * from './condensation.ts';
export * from './creepage.ts';
export * from './fuses.ts';
export * from './humidity-ratio.ts';
export * from './insulation.ts';
export * from './moist-air.ts';
export * from './motor-derating.ts';
export * from './negative-sequence.ts';
export * from './open-phase.ts';
export { degreesOf, magnitudeOf, type Phasor, phasorOf } from './phasor.ts';
export {
  PHYSICS_RANGE_CODES,
  type PhysicsRangeCode,
  PhysicsRangeError,
} from './physics-range-error.ts';
export * from './residual.ts';
export * from './saturation.ts';
export * from './standard-sizes.ts';
export * from './symmetrical-components.ts';
export * from './three-phase.ts';
export {
  leakageAtVoltsMilliamps,
  trackMilliamps,
  trackOhms,
  trackWatts,
} from './track.ts';
export * from './track-voltage.ts';
export * from './vapour-pressure-excess.ts';
export * from './wetness.ts';
export * from './winding-insulation.ts';
