/** What the API answers with, as the screens use it. */

export type Priority = 'routine' | 'urgent' | 'emergency';

export type AlarmState =
  | 'normal'
  | 'unacknowledged'
  | 'acknowledged'
  | 'returned-unacknowledged'
  | 'shelved'
  | 'suppressed'
  | 'out-of-service';

export type EvidenceValue = number | string | boolean | null;

export interface CauseEstimate {
  readonly cause: string;
  /** 0 to 1. */
  readonly probability: number;
  readonly because: readonly string[];
}

interface PriorityStep {
  readonly priority: Priority;
  readonly since: string;
  readonly causes: readonly CauseEstimate[];
}

export interface Alarm {
  readonly id: string;
  readonly site: string;
  readonly unit: string;
  readonly kind: string;
  readonly priority: Priority;
  readonly state: AlarmState;
  readonly raised: string;
  readonly cleared: string | null;
  readonly acknowledged: string | null;
  readonly acknowledgedBy: string | null;
  readonly shelvedUntil: string | null;
  readonly priorities: readonly PriorityStep[];
  readonly headline: string;
  readonly evidence: Readonly<Record<string, EvidenceValue>>;
  readonly causes: readonly CauseEstimate[];
}

export interface Condition {
  readonly time: string;
  readonly operatingState: 'running' | 'idle' | 'dead' | 'unknown';
  readonly relativeHumidityPercent: number | null;
  readonly dewPointMarginKelvin: number | null;
  readonly marginInferred: boolean;
  readonly vapourPressureExcessPascals: number | null;
  readonly leakageMilliamps: number | null;
  readonly currentUnbalancePercent: number | null;
  readonly voltageUnbalancePercent: number | null;
  readonly wetting: { readonly since: string; readonly source: string } | null;
  readonly wetHours30Days: number;
  readonly learningBaseline: boolean;
}

interface LastReading {
  readonly time: string;
  readonly channels: Readonly<Record<string, number>>;
}

interface Contactor {
  readonly name: string;
  readonly load: string | null;
  readonly poles: number | null;
  readonly flaAmps: number | null;
}

export interface Nameplate {
  readonly supply: {
    readonly volts: number;
    readonly hertz: number;
    readonly grounding: string;
    readonly groundingAssumed: boolean;
    readonly mcaAmps: number | null;
    readonly mopAmps: number | null;
  };
  readonly fuses: { readonly class: string | null; readonly amps: number | null };
  readonly contactors: readonly Contactor[];
  readonly drive: boolean;
  readonly access: string | null;
  readonly roof: { readonly x: number; readonly y: number } | null;
  readonly nodeSupply: 'battery' | 'unit-24v' | null;
  readonly limits: Readonly<Record<string, number>>;
}

export interface Unit {
  readonly site: string;
  readonly siteName: string;
  readonly timezone: string;
  readonly unit: string;
  readonly name: string;
  readonly presence: 'online' | 'offline' | null;
  readonly lastReading: LastReading | null;
  readonly condition: Condition | null;
  readonly alarms: readonly Alarm[];
  readonly nameplate: Nameplate;
  readonly retired: boolean;
}

export type Role = 'office' | 'technician' | 'viewer';

export interface Session {
  readonly person: {
    readonly username: string;
    readonly displayName: string;
    readonly role: Role;
    readonly sites: readonly string[] | null;
  };
  readonly csrfToken: string;
}

/** `[epoch ms, lowest, mean, highest]` of one bucket, or one raw reading three times. */
export type TelemetryPoint = readonly [number, number, number, number];

export interface Telemetry {
  readonly channels: Readonly<
    Record<string, { readonly unit: string; readonly points: readonly TelemetryPoint[] }>
  >;
}

export interface Episode {
  readonly start: string;
  readonly peak: string;
  readonly end: string | null;
  readonly source: string;
  readonly wetHours: number;
}

export interface ServiceRecord {
  readonly time: string;
  readonly action: string;
  readonly phases?: readonly string[];
  readonly note?: string;
  readonly recordedBy?: string;
  readonly [field: string]: unknown;
}

export interface Page<T> {
  readonly items: readonly T[];
  readonly next: string | null;
}
