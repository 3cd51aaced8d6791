import type { Alerting } from '@lineside/alerting';
import type { HouseHealth, LiveView, PartHealth } from '@lineside/api';
import type { Ingest, IngestPulse } from '@lineside/ingest';
import type { UnitRef } from '@lineside/storage';

/** What the line needs of ingest where it runs. */
export type IngestOnLine = Pick<
  Ingest,
  | 'pending'
  | 'hearOfServices'
  | 'health'
  | 'pulse'
  | 'condition'
  | 'latest'
  | 'judgedThroughMs'
  | 'onReadings'
  | 'onCondition'
  | 'onJournal'
  | 'journalGrew'
  | 'serviceRecorded'
>;

/** What the line needs of alerting where it runs. */
export type AlertingOnLine = Pick<Alerting, 'health' | 'messagesWait'>;

/** What of the house's health ingest itself can say. */
export type IngestHealth = Omit<HouseHealth, 'alerting'>;

/** Ingest as the others see it, in this process or in another. */
export interface IngestSide extends LiveView {
  /** Never rejects. */
  health(): Promise<IngestHealth>;
  /** Ages grow when nothing is heard of it any more. */
  pulse(): IngestPulse;
  /** One for each unit; null as well when it cannot be said now. Never rejects. */
  judgedThroughMs(units: readonly UnitRef[]): Promise<readonly (number | null)[]>;
  /** A hint that the stored fleet may be another: ingest, which applies it, has started. */
  onFleet(listener: () => void): () => void;
}

/** Alerting as the others see it, in this process or in another. */
export interface AlertingSide {
  /** Never rejects. */
  health(): Promise<PartHealth>;
  /** A hint that somebody else put a message into the outbox. */
  messagesWait(): void;
}

/**
 * By which the services of one house hear and ask each other. What is told is a hint: it may get
 * lost, and whoever hears it looks into the stores. What is asked has an answer, or none in time.
 */
export interface HouseLine {
  readonly ingest: IngestSide;
  readonly alerting: AlertingSide;
  /** Ingest of this process serves from now on. */
  bringIngest(ingest: IngestOnLine): void;
  /** Alerting of this process serves from now on. */
  bringAlerting(alerting: AlertingOnLine): void;
  /** Ends before what was brought does. */
  close(): Promise<void>;
}

/** How the house is; never rejects. */
export async function houseHealth({ ingest, alerting }: HouseLine): Promise<HouseHealth> {
  const [own, paging] = await Promise.all([ingest.health(), alerting.health()]);
  return { ...own, alerting: paging };
}

export const WELL: PartHealth = { state: 'ok', reason: null };

export function down(reason: string): PartHealth {
  return { state: 'down', reason };
}
