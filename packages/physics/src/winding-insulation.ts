import { requireAboveZero, requireWithin } from './physics-range-error.ts';

/**
 * What the winding is insulated with:
 * - `thermoplastic`: older bitumen and shellac systems, and the rule that is used where it is not
 *   known: the resistance halves every 10 K;
 * - `thermosetting`: epoxy and polyester, the usual since about 1970.
 */
export type WindingInsulation = 'thermoplastic' | 'thermosetting';

/** Windings are measured in this range, C (limits chosen here, the standard's are not at hand). */
const THERMOPLASTIC_RANGE_CELSIUS = { low: 0, high: 100 } as const;
/** Range that IEEE 43-2013 states its two formulas for, C (from memory). */
const THERMOSETTING_RANGE_CELSIUS = { low: 10, high: 85 } as const;

const LARGEST_MEGOHMS = 1e9;
const REFERENCE_CELSIUS = 40;
const REFERENCE_KELVIN = 313;
const ZERO_CELSIUS_KELVIN = 273;

/**
 * Factor that brings the insulation resistance of a winding to what it would be at 40 C.
 *
 * Input:    windingCelsius: 0 to 100 C thermoplastic, 10 to 85 C thermosetting; insulation.
 * Output:   above 0, 1 at 40 C, rising with temperature.
 * Source:   IEEE 43-2000 clause 6.3, 0.5^((40 - T) / 10); IEEE 43-2013 for thermosetting, an
 *           exponential of the inverse temperature with 1245 K up to 40 C and 4230 K above (formula
 *           from memory).
 * Accuracy: not valid below the dew point of the air, where the surface conducts and not the
 *           insulation.
 * Errors:   PhysicsRangeError PHYSICS_TEMPERATURE_RANGE.
 */
export function windingTemperatureFactor(
  windingCelsius: number,
  insulation: WindingInsulation,
): number {
  const { low, high } =
    insulation === 'thermoplastic' ? THERMOPLASTIC_RANGE_CELSIUS : THERMOSETTING_RANGE_CELSIUS;
  requireWithin(
    windingCelsius,
    low,
    high,
    `temperature of a ${insulation} winding in C`,
    'PHYSICS_TEMPERATURE_RANGE',
  );
  if (insulation === 'thermoplastic') return 0.5 ** ((REFERENCE_CELSIUS - windingCelsius) / 10);
  const kelvin = windingCelsius <= REFERENCE_CELSIUS ? 1245 : 4230;
  return Math.exp(-kelvin * (1 / (windingCelsius + ZERO_CELSIUS_KELVIN) - 1 / REFERENCE_KELVIN));
}

/**
 * Insulation resistance of a winding, brought to 40 C, so that measurements can be compared with
 * the minimum and with each other.
 *
 * Input:   megohms measured, 0 to 1e9; windingCelsius and insulation as
 *          `windingTemperatureFactor`.
 * Output:  Mohm.
 * Source:  IEEE 43.
 * Errors:  PhysicsRangeError PHYSICS_RESISTANCE_RANGE, PHYSICS_TEMPERATURE_RANGE.
 * Example: megohmsAtFortyCelsius(500, 25, 'thermoplastic') // 176.8
 */
export function megohmsAtFortyCelsius(
  megohms: number,
  windingCelsius: number,
  insulation: WindingInsulation,
): number {
  requireWithin(
    megohms,
    0,
    LARGEST_MEGOHMS,
    'insulation resistance in Mohm',
    'PHYSICS_RESISTANCE_RANGE',
  );
  return megohms * windingTemperatureFactor(windingCelsius, insulation);
}

/**
 * How the winding is made:
 * - `random-wound`: small motors, any winding below 1 kV: all compressors and fans of rooftop units;
 * - `form-wound`: larger, made after about 1970;
 * - `old`: made before about 1970, and field windings.
 */
export type WindingMake = 'random-wound' | 'form-wound' | 'old';

/**
 * The insulation resistance at 40 C below which a winding is not to be energised.
 *
 * Input:   make; ratedKilovolts between lines, above 0 to 20 kV, counts for `old` only.
 * Output:  Mohm: 5, 100, or the rated kV plus 1.
 * Source:  IEEE 43-2013 (kV + 1 as quoted by several sources; the table in full from memory).
 * Errors:  PhysicsRangeError PHYSICS_VOLTAGE_RANGE.
 */
export function minimumWindingMegohms(make: WindingMake, ratedKilovolts: number): number {
  requireAboveZero(ratedKilovolts, 20, 'rated voltage in kV', 'PHYSICS_VOLTAGE_RANGE');
  if (make === 'random-wound') return 5;
  return make === 'form-wound' ? 100 : ratedKilovolts + 1;
}

/** Above this the current is too small for the index to mean anything (IEEE 43, from memory). */
export const HIGHEST_INDEXED_MEGOHMS = 5000;

/**
 * Polarization index: how much the insulation resistance rises from the first to the tenth minute.
 * A damp or dirty winding stays low.
 *
 * Input:   megohms after one and after ten minutes of the same test, 0.001 to 1e9.
 * Output:  ratio; null when the first minute reads above 5000 Mohm, where it says nothing.
 * Source:  IEEE 43 (the limit of 5000 Mohm from memory).
 * Errors:  PhysicsRangeError PHYSICS_RESISTANCE_RANGE.
 */
export function polarizationIndex(
  oneMinuteMegohms: number,
  tenMinuteMegohms: number,
): number | null {
  // The lowest digit of any insulation tester; zero is a short, not a measurement.
  requireWithin(
    oneMinuteMegohms,
    1e-3,
    LARGEST_MEGOHMS,
    'resistance after one minute in Mohm',
    'PHYSICS_RESISTANCE_RANGE',
  );
  requireWithin(
    tenMinuteMegohms,
    1e-3,
    LARGEST_MEGOHMS,
    'resistance after ten minutes in Mohm',
    'PHYSICS_RESISTANCE_RANGE',
  );
  if (oneMinuteMegohms > HIGHEST_INDEXED_MEGOHMS) return null;
  return tenMinuteMegohms / oneMinuteMegohms;
}

/** Thermal class of the insulation. */
export type ThermalClass = 'A' | 'B' | 'F' | 'H';

/**
 * The polarization index below which a winding is suspect.
 *
 * Input:   thermal class.
 * Output:  ratio: 1.5 for class A, 2 for B, F and H.
 * Source:  IEEE 43-2000, as quoted by a secondary source.
 * Errors:  none.
 */
export function minimumPolarizationIndex(thermalClass: ThermalClass): number {
  return thermalClass === 'A' ? 1.5 : 2;
}
