export * from './moist-air.ts';
export {
  PHYSICS_RANGE_CODES,
  type PhysicsRangeCode,
  PhysicsRangeError,
} from './physics-range-error.ts';
export * from './saturation.ts';
export * from './three-phase.ts';
export * from './wetness.ts';
