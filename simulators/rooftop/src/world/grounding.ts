import type { Supply } from '@lineside/fleet';
import { lineAngle, PHASE_ANGLES } from './phasor.ts';
import type { Phase } from './scenario.ts';

/** What drives current from a phase to ground. */
export interface GroundDrive {
  readonly volts: number;
  readonly angleRadians: number;
  /** What the way back adds: nothing but on ungrounded and high-resistance systems. */
  readonly seriesOhms: number;
}

const SQRT3 = Math.sqrt(3);
/** Capacitance of the feeders to ground as the way back of an ungrounded system (assumption). */
const UNGROUNDED_RETURN_OHMS = 25_000;
/** Neutral resistor for 5 A at 277 V (common practice, no source). */
const HIGH_RESISTANCE_OHMS = 55;

/** Voltage of a phase to ground by the way the supply is grounded; phase b is the special one. */
export function groundDrive(
  supply: Pick<Supply, 'volts' | 'grounding'>,
  phase: Phase,
): GroundDrive {
  const { volts, grounding } = supply;
  const toNeutral = { volts: volts / SQRT3, angleRadians: PHASE_ANGLES[phase] };
  switch (grounding) {
    case 'solid-wye':
      return { ...toNeutral, seriesOhms: 0 };
    case 'corner-grounded-delta':
      if (phase === 'b') return { volts: 0, angleRadians: 0, seriesOhms: 0 };
      return { volts, angleRadians: lineAngle(phase, 'b'), seriesOhms: 0 };
    case 'high-leg-delta':
      if (phase === 'b') {
        return { volts: (volts * SQRT3) / 2, angleRadians: PHASE_ANGLES.b, seriesOhms: 0 };
      }
      return {
        volts: volts / 2,
        angleRadians: phase === 'a' ? lineAngle('a', 'c') : lineAngle('c', 'a'),
        seriesOhms: 0,
      };
    case 'ungrounded':
      return { ...toNeutral, seriesOhms: UNGROUNDED_RETURN_OHMS };
    case 'high-resistance':
      return { ...toNeutral, seriesOhms: HIGH_RESISTANCE_OHMS };
  }
}

/** Systems other than the grounded wye leave a residual without any fault. */
export function healthyResidualFactor(supply: Pick<Supply, 'grounding'>): number {
  return supply.grounding === 'solid-wye' ? 1 : 2.2;
}
