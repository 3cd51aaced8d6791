import { requireWithin } from './physics-range-error.ts';

const LARGEST_MAGNITUDE = 1e6;
const LARGEST_ANGLE_DEGREES = 3600;
const RADIANS_PER_DEGREE: number = Math.PI / 180;

/** A sinusoidal quantity as a complex number; RMS values, one unit throughout. */
export interface Phasor {
  readonly real: number;
  readonly imaginary: number;
}

/**
 * A phasor from magnitude and angle.
 *
 * Input:   magnitude 0 to 1e6; degrees -3600 to 3600, counter-clockwise.
 * Output:  the phasor.
 * Source:  definition.
 * Errors:  PhysicsRangeError PHYSICS_MAGNITUDE_RANGE, PHYSICS_ANGLE_RANGE.
 */
export function phasorOf(magnitude: number, degrees: number): Phasor {
  requireWithin(magnitude, 0, LARGEST_MAGNITUDE, 'magnitude', 'PHYSICS_MAGNITUDE_RANGE');
  requireWithin(
    degrees,
    -LARGEST_ANGLE_DEGREES,
    LARGEST_ANGLE_DEGREES,
    'angle in degrees',
    'PHYSICS_ANGLE_RANGE',
  );
  const radians = degrees * RADIANS_PER_DEGREE;
  return { real: magnitude * Math.cos(radians), imaginary: magnitude * Math.sin(radians) };
}

/**
 * Throws unless both parts are numbers within -1e6 to 1e6.
 *
 * Output: nothing.
 * Source: no formula.
 * Errors: PhysicsRangeError PHYSICS_MAGNITUDE_RANGE.
 */
export function requirePhasor(phasor: Phasor, name: string): void {
  const high = LARGEST_MAGNITUDE;
  requireWithin(phasor.real, -high, high, `real part of ${name}`, 'PHYSICS_MAGNITUDE_RANGE');
  requireWithin(
    phasor.imaginary,
    -high,
    high,
    `imaginary part of ${name}`,
    'PHYSICS_MAGNITUDE_RANGE',
  );
}

/**
 * Magnitude of a phasor.
 *
 * Input:   a phasor with parts of -1e6 to 1e6.
 * Output:  at least 0, in the phasor's unit.
 * Source:  definition.
 * Errors:  PhysicsRangeError PHYSICS_MAGNITUDE_RANGE.
 */
export function magnitudeOf(phasor: Phasor): number {
  requirePhasor(phasor, 'phasor');
  return Math.hypot(phasor.real, phasor.imaginary);
}

/**
 * Angle of a phasor.
 *
 * Input:   a phasor with parts of -1e6 to 1e6.
 * Output:  degrees, -180 to 180, counter-clockwise; 0 for a phasor of no magnitude.
 * Source:  definition.
 * Errors:  PhysicsRangeError PHYSICS_MAGNITUDE_RANGE.
 */
export function degreesOf(phasor: Phasor): number {
  requirePhasor(phasor, 'phasor');
  if (phasor.real === 0 && phasor.imaginary === 0) return 0;
  return Math.atan2(phasor.imaginary, phasor.real) / RADIANS_PER_DEGREE;
}
