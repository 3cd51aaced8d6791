import type { UnitCondition } from '@lineside/anomaly';
import type { Fleet } from '@lineside/fleet';
import type { Reading } from '@lineside/readings';
import type { RecordStore, TelemetryStore } from '@lineside/storage';
import type { Logger } from 'pino';
import type { Registry } from 'prom-client';
import type { MakeBroker } from './broker/broker-door.ts';
import type { OutsideBrokerSettings } from './outside-broker/outside-settings.ts';
import type { Replayer } from './replay/replayer.ts';

/** What ingest uses of the telemetry store. */
export type IngestTelemetry = Pick<TelemetryStore, 'append' | 'readings' | 'latest'>;

/** What ingest uses of the record store. */
export type IngestRecords = Pick<
  RecordStore,
  | 'addSettingsVersions'
  | 'alarm'
  | 'alarmsSince'
  | 'changeAlarms'
  | 'checkpoints'
  | 'commitJudgement'
  | 'dirtyUnits'
  | 'journalAfter'
  | 'journalEnd'
  | 'markDirty'
  | 'newestAlarms'
  | 'nodeCredential'
  | 'openAlarms'
  | 'presences'
  | 'quarantine'
  | 'revocationsAfter'
  | 'revokedNodes'
  | 'serviceBetween'
  | 'serviceEnd'
  | 'servicesAfter'
  | 'setPresence'
  | 'settingsVersions'
  | 'snapshotBefore'
  | 'tokenByHash'
  | 'unitHoldsAt'
>;

/** What ingest needs; the composition root hands it in. */
export interface IngestDependencies {
  readonly telemetry: IngestTelemetry;
  readonly records: IngestRecords;
  readonly fleet: () => Fleet;
  readonly clock: () => number;
  readonly log: Logger;
  readonly metrics: Registry;
  readonly settings: IngestSettings;
  /** What is wrong around the service, as who starts it knows: a certificate that ends, say. */
  readonly troubles?: () => readonly Trouble[];
  /** The network; absent: the outside broker of the settings, else the embedded one. */
  readonly makeBroker?: MakeBroker;
  /** Judges stored readings; absent: on the thread of the caller. */
  readonly replayer?: Replayer;
}

export interface IngestSettings {
  /** With it the embedded broker is not opened. */
  readonly outsideBroker?: OutsideBrokerSettings | null;
  readonly mqttHost: string;
  /** 0 picks a free port. */
  readonly mqttPort: number;
  /** PEM texts; null listens without TLS. */
  readonly tls: {
    readonly certificate: string;
    readonly key: string;
    readonly clientCa: string | null;
  } | null;
  readonly retentionDays: number;
}

/** A part works, and somebody has to see to something before it does not. */
export interface Trouble {
  readonly part: 'broker' | 'telemetry' | 'records';
  /** What is wrong and what to do. */
  readonly reason: string;
}

export interface PartState {
  readonly state: 'ok' | 'degraded' | 'down';
  readonly reason: string | null;
}

/** Whether the loops of ingest go on. */
export interface IngestPulse {
  /** Ages are milliseconds since a loop last went on, 0 while it has nothing to do. */
  readonly commitAgeMs: number;
  readonly waitingBytes: number;
  /** When readings were last committed; null before the first of this process. */
  readonly lastCommitAtMs: number | null;
  readonly judgingAgeMs: number;
  readonly waitingReadings: number;
}

export interface Ingest {
  /** The port that the embedded broker listens on; 0 with an outside one. */
  readonly mqttPort: number;
  /** Committed readings that are not judged yet, and units with service records that wait. */
  pending(): number;
  /**
   * Resolves when `pending` counts every service record that was added before the call, also by
   * another process; without it they are heard of within a second. Rejects with `StoreError`.
   */
  hearOfServices(): Promise<void>;
  health(): {
    readonly broker: PartState;
    readonly telemetry: PartState;
    readonly records: PartState;
  };
  pulse(): IngestPulse;
  condition(site: string, unit: string): UnitCondition | null;
  latest(site: string, unit: string): Reading | null;
  /** Event time that a unit is judged through; null: not at all, or late readings of it wait. */
  judgedThroughMs(site: string, unit: string): number | null;
  onReadings(listener: (readings: readonly Reading[]) => void): () => void;
  onCondition(listener: (site: string, unit: string, condition: UnitCondition) => void): () => void;
  onJournal(listener: () => void): () => void;
  journalGrew(): void;
  serviceRecorded(site: string, unit: string): void;
  /** New certificate and key for connections from now on; nothing where there is no TLS. */
  renewTls(tls: NonNullable<IngestSettings['tls']>): void;
  /** The fleet file was applied anew: watches take the new limits. */
  fleetChanged(): void;
  /** Stops listening, commits and judges what was taken, saves checkpoints. */
  close(): Promise<void>;
}
