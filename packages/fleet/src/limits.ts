import type { Limits } from './unit.ts';

/** The limits of a unit without a drive, where its fleet entry states no other. */
export const USUAL_LIMITS: Limits = {
  // Common practice, no source: healthy units without a drive leak 0.3 to 3 mA.
  leakageRoutineMilliamps: 3,
  // Common practice, no source: between the personnel level of 6 mA and the equipment level.
  leakageUrgentMilliamps: 10,
  // Equipment level of residual-current standards in North America, personnel level under IEC.
  leakageEmergencyMilliamps: 30,
  // Common practice, no source.
  currentUnbalanceRoutinePercent: 5,
  // A usual limit of compressor makers; common practice, no source.
  currentUnbalanceUrgentPercent: 10,
  // Between the two levels of NEMA MG 1 (derate above 1 %, do not run above 5 %).
  voltageUnbalanceRoutinePercent: 2,
  voltageUnbalanceUrgentPercent: 3,
  // NEMA MG 1: a motor must not run above 5 %.
  voltageUnbalanceEmergencyPercent: 5,
  // Common practice, no source: one hour, four hours.
  silentRoutineMinutes: 60,
  silentUrgentMinutes: 240,
};

/**
 * Leakage limits of a unit with a drive or large EMI filter, whose filters leak tens of mA when
 * healthy. They hold until the unit's own baseline has been learned. The numbers are rated
 * residual currents of IEC 61008; 300 mA is its usual rating against fire (from memory).
 */
export const DRIVE_LEAKAGE_LIMITS: Pick<
  Limits,
  'leakageRoutineMilliamps' | 'leakageUrgentMilliamps' | 'leakageEmergencyMilliamps'
> = {
  leakageRoutineMilliamps: 30,
  leakageUrgentMilliamps: 100,
  leakageEmergencyMilliamps: 300,
};

/** Limits as a fleet file states them: keys without units. */
export type LimitKey =
  | 'leakageRoutine'
  | 'leakageUrgent'
  | 'leakageEmergency'
  | 'unbalanceRoutine'
  | 'unbalanceUrgent'
  | 'voltageUnbalanceRoutine'
  | 'voltageUnbalanceUrgent'
  | 'voltageUnbalanceEmergency'
  | 'silentRoutine'
  | 'silentUrgent';

/** Which limit each key of the fleet file sets. */
export const LIMIT_KEYS: Readonly<Record<LimitKey, keyof Limits>> = {
  leakageRoutine: 'leakageRoutineMilliamps',
  leakageUrgent: 'leakageUrgentMilliamps',
  leakageEmergency: 'leakageEmergencyMilliamps',
  unbalanceRoutine: 'currentUnbalanceRoutinePercent',
  unbalanceUrgent: 'currentUnbalanceUrgentPercent',
  voltageUnbalanceRoutine: 'voltageUnbalanceRoutinePercent',
  voltageUnbalanceUrgent: 'voltageUnbalanceUrgentPercent',
  voltageUnbalanceEmergency: 'voltageUnbalanceEmergencyPercent',
  silentRoutine: 'silentRoutineMinutes',
  silentUrgent: 'silentUrgentMinutes',
};

export type StatedLimits = { readonly [key in LimitKey]?: number | undefined };

/** Limits of one quantity, in the order in which they must rise. */
const LADDERS: readonly (readonly LimitKey[])[] = [
  ['leakageRoutine', 'leakageUrgent', 'leakageEmergency'],
  ['unbalanceRoutine', 'unbalanceUrgent'],
  ['voltageUnbalanceRoutine', 'voltageUnbalanceUrgent', 'voltageUnbalanceEmergency'],
  ['silentRoutine', 'silentUrgent'],
];

/**
 * The limits of a unit: what is stated, and for the rest the defaults. A default gives way to
 * what is stated, so that routine <= urgent <= emergency holds: with `leakageUrgent` 50 the
 * emergency limit is 50 as well, not 30.
 *
 * @param drive a variable-speed drive or large EMI filter on the feed: higher leakage defaults.
 */
export function limitsFor(stated: StatedLimits, drive: boolean): Limits {
  return otherLimits(drive ? { ...USUAL_LIMITS, ...DRIVE_LEAKAGE_LIMITS } : USUAL_LIMITS, stated);
}

/** `base` with what is stated instead; what is not stated gives way, as in `limitsFor`. */
export function otherLimits(base: Limits, stated: StatedLimits): Limits {
  const limits: { -readonly [key in keyof Limits]: number } = { ...base };
  for (const ladder of LADDERS) {
    for (const [step, key] of ladder.entries()) {
      const lowest = statedValues(stated, ladder.slice(0, step));
      const highest = statedValues(stated, ladder.slice(step + 1));
      const value = stated[key] ?? Math.max(limits[LIMIT_KEYS[key]], ...lowest);
      limits[LIMIT_KEYS[key]] = stated[key] ?? Math.min(value, ...highest);
    }
  }
  return limits;
}

/**
 * Two stated limits in the wrong order, such as a routine limit above the urgent one; `null` when
 * they are in order.
 */
export function crossedLimits(stated: StatedLimits): readonly [LimitKey, LimitKey] | null {
  for (const ladder of LADDERS) {
    const present = ladder.filter((key) => stated[key] !== undefined);
    for (const [index, higher] of present.entries()) {
      const lower = present[index - 1];
      if (lower !== undefined && (stated[lower] ?? 0) > (stated[higher] ?? 0)) {
        return [lower, higher];
      }
    }
  }
  return null;
}

function statedValues(stated: StatedLimits, keys: readonly LimitKey[]): number[] {
  return keys.flatMap((key) => stated[key] ?? []);
}
