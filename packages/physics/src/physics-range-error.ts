/** Why a physics function refused its input. */
export const PHYSICS_RANGE_CODES = [
  'PHYSICS_TEMPERATURE_RANGE',
  'PHYSICS_HUMIDITY_RANGE',
  'PHYSICS_PRESSURE_RANGE',
  'PHYSICS_DURATION_RANGE',
  'PHYSICS_MAGNITUDE_RANGE',
  'PHYSICS_ALTITUDE_RANGE',
  'PHYSICS_ERROR_RANGE',
  'PHYSICS_HEAT_TRANSFER_RANGE',
  'PHYSICS_ANGLE_RANGE',
  'PHYSICS_PERCENT_RANGE',
  'PHYSICS_CURRENT_RANGE',
  'PHYSICS_VOLTAGE_RANGE',
  'PHYSICS_RESISTANCE_RANGE',
  'PHYSICS_TRACKING_INDEX_RANGE',
  'PHYSICS_NOT_DEFINED',
] as const;
export type PhysicsRangeCode = (typeof PHYSICS_RANGE_CODES)[number];

/**
 * An input that is not a number or lies outside the range a formula is valid in, or, with
 * PHYSICS_NOT_DEFINED, inputs that are in range one by one but for which no result exists.
 */
export class PhysicsRangeError extends RangeError {
  readonly code: PhysicsRangeCode;

  constructor(code: PhysicsRangeCode, message: string) {
    super(message);
    this.name = 'PhysicsRangeError';
    this.code = code;
  }
}

/**
 * Throws unless `low <= value <= high`; NaN is outside.
 *
 * Output: nothing.
 * Source: no formula.
 * Errors: PhysicsRangeError with `code`; the message names the quantity, its value and the range.
 */
export function requireWithin(
  value: number,
  low: number,
  high: number,
  quantity: string,
  code: PhysicsRangeCode,
): void {
  if (!(value >= low && value <= high)) {
    throw new PhysicsRangeError(code, `${quantity} must be ${low} to ${high}, got ${value}`);
  }
}

/**
 * Throws unless `0 < value <= high`; NaN is outside.
 *
 * Output: nothing.
 * Source: no formula.
 * Errors: PhysicsRangeError with `code`; the message names the quantity, its value and the range.
 */
export function requireAboveZero(
  value: number,
  high: number,
  quantity: string,
  code: PhysicsRangeCode,
): void {
  if (!(value > 0 && value <= high)) {
    throw new PhysicsRangeError(
      code,
      `${quantity} must be above 0 and at most ${high}, got ${value}`,
    );
  }
}
