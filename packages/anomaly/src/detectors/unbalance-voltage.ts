import { unbalancePercent } from '@lineside/physics';
import { type FieldGuards, isNumberOrNull } from '../field-guards.ts';
import type { Priority } from '../vocabulary.ts';
import { type DwellMs, hasDwelt, nextDwell } from './dwell.ts';
import type { DetectorParameters } from './parameters.ts';
import type { ThreePhases } from './sample.ts';

/** Unbalance of the line voltages (NEMA MG 1): 30 min routine and urgent, 5 min emergency. */
export interface VoltageUnbalance {
  readonly atMs: number | null;
  readonly percent: number | null;
  readonly overRoutineMs: DwellMs;
  readonly overUrgentMs: DwellMs;
  readonly overEmergencyMs: DwellMs;
  readonly calmMs: DwellMs;
}

const MINUTE_MS = 60_000;
const HOLD_MS: number = 30 * MINUTE_MS;
const EMERGENCY_HOLD_MS: number = 5 * MINUTE_MS;
/** Closes after this long below `CLOSING_SHARE` of the routine limit. */
const CLOSING_MS: number = 30 * MINUTE_MS;
const CLOSING_SHARE = 0.8;
const LIVE_VOLTS_SHARE = 0.5;
/** No supply is this uneven: an open fuse shows voltages fed back through the motors. */
const LEAST_EVEN_SHARE = 0.8;

export const VOLTAGE_UNBALANCE_START: VoltageUnbalance = {
  atMs: null,
  percent: null,
  overRoutineMs: null,
  overUrgentMs: null,
  overEmergencyMs: null,
  calmMs: null,
};

export const VOLTAGE_UNBALANCE_FIELDS: FieldGuards<VoltageUnbalance> = {
  atMs: isNumberOrNull,
  percent: isNumberOrNull,
  overRoutineMs: isNumberOrNull,
  overUrgentMs: isNumberOrNull,
  overEmergencyMs: isNumberOrNull,
  calmMs: isNumberOrNull,
};

/** The very same slice comes back when the voltages are those of a dead or half-dead supply. */
export function stepVoltageUnbalance(
  slice: VoltageUnbalance,
  volts: ThreePhases,
  atMs: number,
  { limits, nominalLineVolts }: DetectorParameters,
): VoltageUnbalance {
  const { smallest, largest } = volts;
  if (smallest < LIVE_VOLTS_SHARE * nominalLineVolts || smallest < LEAST_EVEN_SHARE * largest) {
    return slice;
  }
  const percent = unbalancePercent(volts.a, volts.b, volts.c);
  const elapsedMs = atMs - (slice.atMs ?? atMs);
  const routine = limits.voltageUnbalanceRoutinePercent;
  const urgent = limits.voltageUnbalanceUrgentPercent;
  const emergency = limits.voltageUnbalanceEmergencyPercent;
  const calm = percent < CLOSING_SHARE * routine;
  return {
    atMs,
    percent: Math.round(percent * 1000) / 1000,
    overRoutineMs: nextDwell(slice.overRoutineMs, percent > routine, elapsedMs, HOLD_MS),
    overUrgentMs: nextDwell(slice.overUrgentMs, percent > urgent, elapsedMs, HOLD_MS),
    overEmergencyMs: nextDwell(
      slice.overEmergencyMs,
      percent > emergency,
      elapsedMs,
      EMERGENCY_HOLD_MS,
    ),
    calmMs: calm ? nextDwell(slice.calmMs, true, elapsedMs, CLOSING_MS) : null,
  };
}

export function voltagePriority(slice: VoltageUnbalance): Priority | null {
  if (hasDwelt(slice.overEmergencyMs, EMERGENCY_HOLD_MS)) return 'emergency';
  if (hasDwelt(slice.overUrgentMs, HOLD_MS)) return 'urgent';
  return hasDwelt(slice.overRoutineMs, HOLD_MS) ? 'routine' : null;
}

export function voltageIsCalm(slice: VoltageUnbalance): boolean {
  return hasDwelt(slice.calmMs, CLOSING_MS);
}
