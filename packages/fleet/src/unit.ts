/** A unit and its site as the rest of the house sees them: defaults filled in, nothing optional. */

export const GROUNDINGS = [
  'solid-wye',
  'corner-grounded-delta',
  'high-leg-delta',
  'ungrounded',
  'high-resistance',
] as const;
export type Grounding = (typeof GROUNDINGS)[number];

export interface Site {
  readonly id: string;
  readonly name: string;
  /** IANA time zone, `UTC` when not stated. */
  readonly timezone: string;
  readonly latitudeDegrees: number | null;
  readonly longitudeDegrees: number | null;
}

export interface Supply {
  /** Line to line, V. */
  readonly volts: number;
  readonly hertz: number;
  readonly grounding: Grounding;
  /** True when the fleet file does not state the grounding and solid-wye is assumed. */
  readonly groundingAssumed: boolean;
  /** Minimum circuit ampacity of the nameplate, A. */
  readonly mcaAmps: number | null;
  /** Maximum overcurrent protection of the nameplate, A. */
  readonly mopAmps: number | null;
}

export interface Contactor {
  readonly name: string;
  readonly load: string | null;
  readonly poles: number | null;
  /** Full-load amps. */
  readonly flaAmps: number | null;
}

/** Alarm limits of one unit. See `limits.ts` for defaults and their sources. */
export interface Limits {
  readonly leakageRoutineMilliamps: number;
  readonly leakageUrgentMilliamps: number;
  readonly leakageEmergencyMilliamps: number;
  readonly currentUnbalanceRoutinePercent: number;
  readonly currentUnbalanceUrgentPercent: number;
  readonly voltageUnbalanceRoutinePercent: number;
  readonly voltageUnbalanceUrgentPercent: number;
  readonly voltageUnbalanceEmergencyPercent: number;
  readonly silentRoutineMinutes: number;
  readonly silentUrgentMinutes: number;
}

export interface Unit {
  readonly site: string;
  readonly id: string;
  readonly name: string;
  readonly supply: Supply;
  readonly fuses: { readonly class: string | null; readonly amps: number | null };
  readonly contactors: readonly Contactor[];
  /** A variable-speed drive or large EMI filter on this feed. */
  readonly drive: boolean;
  /** How to get there. */
  readonly access: string | null;
  /** Metres on the site's roof plan. */
  readonly roof: { readonly x: number; readonly y: number } | null;
  readonly nodeSupply: 'battery' | 'unit-24v' | null;
  readonly limits: Limits;
  /** True when the newest fleet file no longer names the unit. */
  readonly retired: boolean;
}

export interface Fleet {
  readonly sites: readonly Site[];
  readonly units: readonly Unit[];
}
