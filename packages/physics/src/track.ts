import { requireWithin } from './physics-range-error.ts';

const LARGEST_MILLIAMPS = 1e6;
const SMALLEST_MILLIAMPS = 1e-9;
/** Above the highest voltage that an air-conditioning unit is built for. */
const HIGHEST_VOLTS = 1000;
const LARGEST_OHMS = 1e15;

/**
 * Throws unless the voltage is one of a low-voltage system.
 *
 * Output: nothing.
 * Source: no formula.
 * Errors: PhysicsRangeError PHYSICS_VOLTAGE_RANGE.
 */
export function requireVolts(volts: number, quantity: string): void {
  requireWithin(volts, 0, HIGHEST_VOLTS, quantity, 'PHYSICS_VOLTAGE_RANGE');
}

/**
 * Throws unless the resistance is at least 1 ohm; above 1e15 ohm there is no track.
 *
 * Output: nothing.
 * Source: no formula.
 * Errors: PhysicsRangeError PHYSICS_RESISTANCE_RANGE.
 */
export function requireOhms(ohms: number, quantity: string): void {
  requireWithin(ohms, 1, LARGEST_OHMS, quantity, 'PHYSICS_RESISTANCE_RANGE');
}

/**
 * Resistance of a single resistive track from its current and the voltage that drives it.
 *
 * Input:    leakageMilliamps 1e-9 to 1e6 mA, the track's own current; volts 0 to 1000 V, see
 *           `trackVolts`.
 * Output:   ohm; falls with the current.
 * Source:   Ohm's law.
 * Accuracy: a residual is not the current of one track: capacitive current adds to it and tracks
 *           of other phases cancel in it.
 * Errors:   PhysicsRangeError PHYSICS_CURRENT_RANGE, PHYSICS_VOLTAGE_RANGE. Of no current at all
 *           no resistance can be told.
 * Example:  trackOhms(10, 277) // 27 700
 */
export function trackOhms(leakageMilliamps: number, volts: number): number {
  requireWithin(
    leakageMilliamps,
    SMALLEST_MILLIAMPS,
    LARGEST_MILLIAMPS,
    'leakage in mA',
    'PHYSICS_CURRENT_RANGE',
  );
  requireVolts(volts, 'voltage of the track in V');
  return (1000 * volts) / leakageMilliamps;
}

/**
 * Current of a resistive track: the inverse of `trackOhms`.
 *
 * Input:   ohms 1 to 1e15; volts 0 to 1000 V.
 * Output:  mA.
 * Source:  Ohm's law.
 * Errors:  PhysicsRangeError PHYSICS_RESISTANCE_RANGE, PHYSICS_VOLTAGE_RANGE.
 */
export function trackMilliamps(ohms: number, volts: number): number {
  requireOhms(ohms, 'resistance of the track in ohm');
  requireVolts(volts, 'voltage of the track in V');
  return (1000 * volts) / ohms;
}

/**
 * Heat that a track makes. It dries the film and, in time, chars the plastic below.
 *
 * Input:   leakageMilliamps 0 to 1e6 mA; volts 0 to 1000 V.
 * Output:  W.
 * Source:  P = U I of a resistance.
 * Errors:  PhysicsRangeError PHYSICS_CURRENT_RANGE, PHYSICS_VOLTAGE_RANGE.
 * Example: trackWatts(10, 277) // 2.77
 */
export function trackWatts(leakageMilliamps: number, volts: number): number {
  requireWithin(leakageMilliamps, 0, LARGEST_MILLIAMPS, 'leakage in mA', 'PHYSICS_CURRENT_RANGE');
  requireVolts(volts, 'voltage of the track in V');
  return (leakageMilliamps / 1000) * volts;
}

/**
 * What a track would leak at another voltage: a limit that was learned at 277 V, say, on a unit
 * whose tracks are driven by 120 V.
 *
 * Input:    referenceMilliamps 0 to 1e6 mA at referenceVolts 1 to 1000 V; volts 0 to 1000 V.
 * Output:   mA, proportional to the voltage.
 * Source:   Ohm's law; that a wet film is ohmic is common practice, no source. Dry bands spark
 *           above some voltage, and then it is not.
 * Errors:   PhysicsRangeError PHYSICS_CURRENT_RANGE, PHYSICS_VOLTAGE_RANGE.
 * Example:  leakageAtVoltsMilliamps(10, 277, 120) // 4.33
 */
export function leakageAtVoltsMilliamps(
  referenceMilliamps: number,
  referenceVolts: number,
  volts: number,
): number {
  requireWithin(
    referenceMilliamps,
    0,
    LARGEST_MILLIAMPS,
    'reference leakage in mA',
    'PHYSICS_CURRENT_RANGE',
  );
  requireWithin(
    referenceVolts,
    1,
    HIGHEST_VOLTS,
    'reference voltage in V',
    'PHYSICS_VOLTAGE_RANGE',
  );
  requireVolts(volts, 'voltage of the track in V');
  return (referenceMilliamps * volts) / referenceVolts;
}
