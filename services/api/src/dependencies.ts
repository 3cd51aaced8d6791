import type { UnitCondition } from '@lineside/anomaly';
import type { Fleet } from '@lineside/fleet';
import type { Reading } from '@lineside/readings';
import type {
  AlarmLifeRecords,
  AlertingRecords,
  CalendarRecords,
  ChannelKind,
  OnCallRecords,
  PeopleRecords,
  RecordStore,
  TelemetryStore,
} from '@lineside/storage';
import type { Logger } from 'pino';
import type { Registry } from 'prom-client';
import type { WhatIfDesk } from './what-if-desk.ts';

/** What the API uses of the telemetry store. */
type ApiTelemetry = Pick<TelemetryStore, 'rangeJson' | 'extremes' | 'quarters'>;

/** What the API uses of the record store. */
export type ApiRecords = Pick<
  RecordStore,
  | 'alarm'
  | 'alarms'
  | 'changeAlarms'
  | 'episodes'
  | 'episodesBetween'
  | 'journalAfter'
  | 'journalEnd'
  | 'journalOf'
  | 'presences'
  | 'quarantined'
  | 'addServiceRecord'
  | 'serviceRecords'
  | keyof AlarmLifeRecords
  | 'serviceBetween'
  | keyof PeopleRecords
> &
  Pick<
    OnCallRecords,
    'loadRota' | 'saveRota' | 'contactPoints' | 'setContactPoint' | 'removeContactPoint'
  > &
  Pick<
    AlertingRecords,
    'messagesDue' | 'messages' | 'lastHandedOver' | 'pageLink' | 'bindPageLink'
  > &
  CalendarRecords;

/** What the API needs from the rest of the house; the composition root hands it in. */
export interface ApiDependencies {
  readonly telemetry: ApiTelemetry;
  readonly records: ApiRecords;
  readonly fleet: () => Fleet;
  readonly live: LiveView;
  /** Asked anew each time; never rejects. */
  readonly health: () => Promise<HouseHealth>;
  readonly whatIf: WhatIfDesk;
  readonly alerting: AlertingDoor;
  readonly pages: PageDoor;
  readonly clock: () => number;
  readonly log: Logger;
  readonly metrics: Registry;
  /** What people type into a browser, without a trailing slash; decides Secure cookies. */
  readonly publicUrl: string;
  /** Networks, CIDR notation, whose proxies are believed when they name the client; none: nobody. */
  readonly trustedProxies: readonly string[];
  /** Folder with the dashboard's build; null serves none. */
  readonly dashboardFolder: string | null;
}

/** State of one part for `GET /api/health`. */
export interface PartHealth {
  readonly state: 'ok' | 'degraded' | 'down';
  /** Why, when it is not ok. */
  readonly reason: string | null;
}

/** How the house is. */
export interface HouseHealth {
  /** The service that commits and judges; down as well when it does not answer. */
  readonly ingest: PartHealth;
  /** The service that pages people. */
  readonly alerting: PartHealth;
  readonly broker: PartHealth;
  readonly telemetry: PartHealth;
  readonly records: PartHealth;
  /**
   * Committed readings that are not judged yet, and units with service records that are not: all
   * that was acknowledged before the question. Null when ingest does not answer.
   */
  readonly pending: number | null;
}

/** What only the service that judges knows at this moment. */
export interface LiveView {
  /** Null when the unit has no judged reading. */
  condition(site: string, unit: string): UnitCondition | null;
  latest(site: string, unit: string): Reading | null;
  /**
   * Calls back after each commit of readings and each judged unit; returns a function that ends
   * it. Alarms are not among them: those are read from the alarm journal, see `onJournal`.
   */
  onReadings(listener: (readings: readonly Reading[]) => void): () => void;
  onCondition(listener: (site: string, unit: string, condition: UnitCondition) => void): () => void;
  /** A hint that the alarm journal may have grown. */
  onJournal(listener: () => void): () => void;
  /** To be called after writing to the alarm journal, so that others look at once. */
  journalGrew(): void;
  /** To be called after a service record was added, so that the unit's watch hears of it. */
  serviceRecorded(site: string, unit: string): void;
}

/** What the API asks of the part that pages people. */
export interface AlertingDoor {
  /** Public key that push subscriptions are made with (VAPID, RFC 8292), base64url; null: no push. */
  readonly pushPublicKey: string | null;
  /**
   * Puts a page that says it is a test into the outbox, for each contact point of a person; returns
   * those. Rejects with `StoreError`.
   */
  sendTest(person: string): Promise<readonly SentTest[]>;
}

/** A contact point that a test page goes to. */
export interface SentTest {
  readonly contact: string;
  readonly channel: ChannelKind;
  readonly name: string;
}

/** What the page behind a link asks of the part that makes the links. */
export interface PageDoor {
  /** The id in the last part of a page's address, if its signature is ours; else null. */
  readLink(signed: string): string | null;
  /** What keeps people off a site's roofs now, as far as something measures it. */
  roofDanger(site: string): RoofDanger | null;
}

export const ROOF_DANGERS = ['lightning', 'wind', 'ice'] as const;
export type RoofDanger = (typeof ROOF_DANGERS)[number];
