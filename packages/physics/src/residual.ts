import { requireWithin } from './physics-range-error.ts';

/** Residual currents up to 1000 A, in mA: beyond that it is a fault that a fuse ends. */
const LARGEST_MILLIAMPS = 1e6;
const RADIANS_PER_DEGREE: number = Math.PI / 180;

function requireMilliamps(milliamps: number, quantity: string): void {
  requireWithin(milliamps, 0, LARGEST_MILLIAMPS, quantity, 'PHYSICS_CURRENT_RANGE');
}

/**
 * What a residual sensor reads of two currents of one frequency at an angle to each other.
 *
 * Input:   firstMilliamps, secondMilliamps 0 to 1e6 mA; betweenDegrees -360 to 360.
 * Output:  mA, between the difference and the sum of both.
 * Source:  law of cosines.
 * Errors:  PhysicsRangeError PHYSICS_CURRENT_RANGE, PHYSICS_ANGLE_RANGE.
 * Example: residualMilliamps(10, 3, 90) // 10.44
 */
export function residualMilliamps(
  firstMilliamps: number,
  secondMilliamps: number,
  betweenDegrees: number,
): number {
  requireMilliamps(firstMilliamps, 'first current in mA');
  requireMilliamps(secondMilliamps, 'second current in mA');
  requireWithin(betweenDegrees, -360, 360, 'angle in degrees', 'PHYSICS_ANGLE_RANGE');
  // Of 1 - cos only the sine of the half angle keeps its digits at small angles.
  const difference = firstMilliamps - secondMilliamps;
  const halfCosine = Math.cos((betweenDegrees * RADIANS_PER_DEGREE) / 2);
  const square = difference * difference + 4 * firstMilliamps * secondMilliamps * halfCosine ** 2;
  return Math.sqrt(square);
}

/**
 * What a residual sensor reads of a resistive track and a capacitive current of filters and cables.
 *
 * Input:   both 0 to 1e6 mA.
 * Output:  mA; a small one of the two hardly shows: 10 and 3 read 10.44.
 * Source:  currents a quarter period apart add as the sides of a right angle.
 * Errors:  PhysicsRangeError PHYSICS_CURRENT_RANGE.
 */
export function quadratureSumMilliamps(firstMilliamps: number, secondMilliamps: number): number {
  requireMilliamps(firstMilliamps, 'first current in mA');
  requireMilliamps(secondMilliamps, 'second current in mA');
  return Math.sqrt(firstMilliamps * firstMilliamps + secondMilliamps * secondMilliamps);
}

/**
 * The resistive part of a residual whose capacitive part is known: the inverse of
 * `quadratureSumMilliamps`.
 *
 * Input:   totalMilliamps, capacitiveMilliamps 0 to 1e6 mA.
 * Output:  mA; 0 where the total has fallen below the capacitive part.
 * Source:  as there.
 * Errors:  PhysicsRangeError PHYSICS_CURRENT_RANGE.
 */
export function quadratureRestMilliamps(
  totalMilliamps: number,
  capacitiveMilliamps: number,
): number {
  requireMilliamps(totalMilliamps, 'total in mA');
  requireMilliamps(capacitiveMilliamps, 'capacitive part in mA');
  const rest = (totalMilliamps - capacitiveMilliamps) * (totalMilliamps + capacitiveMilliamps);
  return Math.sqrt(Math.max(0, rest));
}

/**
 * The least current that must have come in addition when a residual went from one reading to
 * another.
 *
 * Input:   beforeMilliamps, totalMilliamps 0 to 1e6 mA.
 * Output:  mA: the difference of both, for currents in phase or opposed.
 * Source:  triangle inequality of phasors.
 * Errors:  PhysicsRangeError PHYSICS_CURRENT_RANGE.
 */
export function addedAtLeastMilliamps(beforeMilliamps: number, totalMilliamps: number): number {
  requireMilliamps(beforeMilliamps, 'residual before in mA');
  requireMilliamps(totalMilliamps, 'residual after in mA');
  return Math.abs(totalMilliamps - beforeMilliamps);
}

/**
 * The most current that can have come in addition when a residual went from one reading to another,
 * also when the reading did not change or fell.
 *
 * Input:   beforeMilliamps, totalMilliamps 0 to 1e6 mA.
 * Output:  mA: the sum of both, for a track opposed to what was there.
 * Source:  triangle inequality of phasors.
 * Errors:  PhysicsRangeError PHYSICS_CURRENT_RANGE.
 */
export function addedAtMostMilliamps(beforeMilliamps: number, totalMilliamps: number): number {
  requireMilliamps(beforeMilliamps, 'residual before in mA');
  requireMilliamps(totalMilliamps, 'residual after in mA');
  return totalMilliamps + beforeMilliamps;
}
