import type { Alarm, AlarmJournalEntry } from '@lineside/alarms';
import type { FindingKind, WettingEpisode } from '@lineside/anomaly';
import type { AlarmLifeRecords } from './alarm-life-records.ts';
import type { AlertingRecords } from './alerting-records.ts';
import type { CalendarRecords } from './calendar-records.ts';
import type { BrokerUserRecords, NodeRecords } from './node-records.ts';
import type { OnCallRecords } from './on-call-records.ts';

/**
 * The door to everything that is not a reading. Every adapter passes
 * `tests/contracts/record-contract.ts`. Each method is one transaction; a rejected promise means
 * that nothing of it was kept (`StoreError`). Lists are newest first and page by opaque cursors
 * that stay stable under inserts.
 */
export interface RecordStore
  extends FleetRecords,
    AlarmRecords,
    JudgementRecords,
    ReplayRecords,
    ServiceRecords,
    QuarantineRecords,
    PresenceRecords,
    NodeRecords,
    BrokerUserRecords,
    PeopleRecords,
    AlertingRecords,
    OnCallRecords,
    CalendarRecords,
    AlarmLifeRecords {
  /** Copies a consistent state into one file, while writing goes on. */
  backup(file: string): Promise<void>;
  close(): Promise<void>;
}

export interface Page<T> {
  readonly items: readonly T[];
  /** Opaque; null at the end. */
  readonly next: string | null;
}

export interface PageRequest {
  /** 1 to 1,000. */
  readonly limit: number;
  readonly cursor: string | null;
}

/** `site` + `unit` of something. */
export interface UnitRef {
  readonly site: string;
  readonly unit: string;
}

// --- fleet ---------------------------------------------------------------------------------

export interface FleetRecords {
  /** The fleet document as last saved by `saveFleet`, or null on the first start. */
  loadFleet(): Promise<unknown>;
  /** Replaces the fleet document (plain JSON, already merged and validated by packages/fleet). */
  saveFleet(document: unknown): Promise<void>;
}

// --- alarms --------------------------------------------------------------------------------

export interface AlarmQuery extends PageRequest {
  /** `standing`: its condition is present, in any state; `open`: not yet normal. */
  readonly state?: 'standing' | 'open';
  /** Only these sites; absent: all. An empty list matches nothing. */
  readonly sites?: readonly string[];
  readonly unit?: string;
  readonly kind?: FindingKind;
  /** Overlap with [fromMs, toMs): raised before toMs, and not cleared at or before fromMs. */
  readonly fromMs?: number;
  readonly toMs?: number;
  /** True: withdrawn ones too. Absent or false: they are left out. */
  readonly withdrawn?: boolean;
}

export interface AlarmChange {
  /** `entry.alarm` is the alarm after the change; its revision is one above the stored one. */
  readonly entry: AlarmJournalEntry;
}

export interface StoredJournalEntry extends AlarmJournalEntry {
  /** Rises by at least one with each entry, in commit order. */
  readonly sequence: number;
}

export interface AlarmRecords {
  alarm(id: string): Promise<Alarm | null>;
  /** Newest `raisedAtMs` first, ties by id, the greater first. */
  alarms(query: AlarmQuery): Promise<Page<Alarm>>;
  /** The newest alarm of each kind of one unit; withdrawn ones do not count. */
  newestAlarms(ref: UnitRef): Promise<readonly Alarm[]>;
  /**
   * All alarms that are not normal, and the newest of each kind that is not withdrawn: what retained
   * topics show.
   */
  openAlarms(): Promise<readonly Alarm[]>;
  /**
   * The unit's alarms that stand or cleared at or after `sinceMs`, without withdrawn ones: oldest
   * `raisedAtMs` first, ties by id.
   */
  alarmsSince(ref: UnitRef, sinceMs: number): Promise<readonly Alarm[]>;
  /**
   * Writes alarms with their journal entries. Rejects with `STORE_CONFLICT`, keeping nothing, when
   * an alarm's stored revision is not one below the written one (a new alarm has revision 1), or
   * when a second alarm of one unit and kind would stand.
   */
  changeAlarms(changes: readonly AlarmChange[]): Promise<void>;
  /** At most `limit` (1 to 1,000) entries after `sequence`, oldest first. 0 is the start. */
  journalAfter(sequence: number, limit: number): Promise<readonly StoredJournalEntry[]>;
  /** Sequence of the newest entry, 0 when there is none. */
  journalEnd(): Promise<number>;
  journalOf(alarmId: string): Promise<readonly StoredJournalEntry[]>;
}

// --- judging -------------------------------------------------------------------------------

/** The saved state of one unit's watch. */
export interface WatchCheckpoint extends UnitRef {
  /** Event time of the newest reading in `state`. */
  readonly judgedThroughMs: number;
  /** Plain JSON. */
  readonly state: unknown;
}

export interface StoredEpisode extends UnitRef {
  readonly episode: WettingEpisode;
}

export interface Judgement {
  readonly checkpoints: readonly WatchCheckpoint[];
  readonly alarms: readonly AlarmChange[];
  /** Written over by (site, unit, startMs). */
  readonly episodes: readonly StoredEpisode[];
  /** Written over by (site, unit, throughMs), then thinned as `WatchSnapshot` says. */
  readonly snapshots?: readonly WatchSnapshot[];
  /** What these units had is forgotten before the rest is written. */
  readonly rejudged?: readonly Rejudged[];
}

/** A unit that was judged anew from a time on: its older snapshots and episodes stay. */
export interface Rejudged extends UnitRef {
  /** Snapshots through a later time, and episodes that start later, are forgotten. */
  readonly sinceMs: number;
  /** The unit's mark goes if it still has this generation. null: the mark stays. */
  readonly generation: number | null;
}

export interface EpisodesBetweenQuery {
  readonly fromMs: number;
  readonly toMs: number;
  /** Only these sites; absent: all. An empty list matches nothing. */
  readonly sites?: readonly string[];
}

/** Five hundred units that are wetted twice a day for three months; more is no question of storms. */
export const EPISODES_BETWEEN_MOST = 100_000;

export interface JudgementRecords {
  /** All of it in one transaction; conflicts as above. */
  commitJudgement(judgement: Judgement): Promise<void>;
  checkpoints(): Promise<readonly WatchCheckpoint[]>;
  /** Newest start first. Overlap with [fromMs, toMs) where given. */
  episodes(
    query: UnitRef & PageRequest & { readonly fromMs?: number; readonly toMs?: number },
  ): Promise<Page<StoredEpisode>>;
  /**
   * Episodes of all units that start within [fromMs, toMs): newest start first, ties by site and
   * unit; at most `EPISODES_BETWEEN_MOST`, the newest.
   */
  episodesBetween(query: EpisodesBetweenQuery): Promise<readonly StoredEpisode[]>;
}

// --- replay --------------------------------------------------------------------------------

/** From when on a unit is to be judged anew. */
export interface DirtyMark extends UnitRef {
  readonly fromMs: number;
}

export interface DirtyUnit extends DirtyMark {
  /** Rises by one with each mark of the unit, from 1; none comes twice, removed marks included. */
  readonly generation: number;
}

/**
 * A unit's watch as it was at a time, to judge anew from. Of each unit the store keeps the
 * `SNAPSHOTS_NEWEST` newest, and of those before the newest of each week (Monday to Sunday, UTC),
 * for `SNAPSHOTS_WEEKS` weeks.
 */
export interface WatchSnapshot extends UnitRef {
  /** Event time of the newest reading in `state`. */
  readonly throughMs: number;
  /** Plain JSON. */
  readonly state: unknown;
}

/** Readings that come late come hours late mostly. */
export const SNAPSHOTS_NEWEST = 8;

/** Weeks of one snapshot each: a node's memory holds no more, common practice, no source. */
export const SNAPSHOTS_WEEKS = 8;

/** What a unit was to be judged by from a time on, so that judging anew uses the same. */
export interface SettingsVersion extends UnitRef {
  readonly fromMs: number;
  /** Plain JSON. */
  readonly settings: unknown;
}

export interface ReplayRecords {
  /** Adds each unit's mark or lowers it to the smaller `fromMs`; its generation rises. */
  markDirty(marks: readonly DirtyMark[]): Promise<void>;
  /** Units with a mark, by site and unit. */
  dirtyUnits(): Promise<readonly DirtyUnit[]>;
  /** The newest snapshot with `throughMs` < `beforeMs`, or null. */
  snapshotBefore(ref: UnitRef, beforeMs: number): Promise<WatchSnapshot | null>;
  /** `throughMs` of the unit's snapshots, oldest first. */
  snapshotTimes(ref: UnitRef): Promise<readonly number[]>;
  /** By site and unit, oldest first in each unit. */
  settingsVersions(): Promise<readonly SettingsVersion[]>;
  /** Written over by (site, unit, fromMs). */
  addSettingsVersions(versions: readonly SettingsVersion[]): Promise<void>;
}

// --- service records -----------------------------------------------------------------------

export interface ServiceRecord extends UnitRef {
  readonly id: string;
  readonly atMs: number;
  readonly action: string;
  /** The whole record as it was posted: contract fields plus free ones. */
  readonly body: Readonly<Record<string, unknown>>;
  readonly recordedAtMs: number;
  readonly recordedBy: string;
}

/** One service record in the order in which they were added. */
export interface ServiceEntry extends UnitRef {
  /** From 1 on; rises with each record, and holds while the store is open. */
  readonly sequence: number;
}

export interface ServiceRecords {
  /** Rejects with `STORE_CONFLICT` when the id is there already. */
  addServiceRecord(record: ServiceRecord): Promise<void>;
  /** Newest `atMs` first, ties by id, the greater first. */
  serviceRecords(query: UnitRef & PageRequest): Promise<Page<ServiceRecord>>;
  /** Service records of one unit with fromMs <= atMs < toMs, oldest first. */
  serviceBetween(ref: UnitRef, fromMs: number, toMs: number): Promise<readonly ServiceRecord[]>;
  /** What was added after `sequence`, whoever added it, in that order; at most `limit`. */
  servicesAfter(sequence: number, limit: number): Promise<readonly ServiceEntry[]>;
  /** Sequence of the record added last, 0 when there is none. */
  serviceEnd(): Promise<number>;
}

// --- quarantine ----------------------------------------------------------------------------

export interface QuarantineEntry {
  /** Wall-clock time of receipt. */
  readonly atMs: number;
  readonly topic: string;
  readonly code: string;
  readonly reason: string;
  /** The first 4 KiB of the message; more is `STORE_BAD_INPUT`. */
  readonly payload: Uint8Array;
}

export interface QuarantineRecords {
  /** Adds entries and keeps at most `QUARANTINE_MOST_ENTRIES`, those added last. */
  quarantine(entries: readonly QuarantineEntry[]): Promise<void>;
  /** What was added last first. */
  quarantined(query: PageRequest): Promise<Page<QuarantineEntry>>;
  forgetQuarantineBefore(atMs: number): Promise<void>;
}

export const QUARANTINE_MOST_ENTRIES = 100_000;

// --- presence ------------------------------------------------------------------------------

export interface Presence extends UnitRef {
  readonly online: boolean;
  /** Wall-clock time of the change. */
  readonly sinceMs: number;
}

export interface PresenceRecords {
  setPresence(presence: Presence): Promise<void>;
  presences(): Promise<readonly Presence[]>;
}

// --- tokens ----------------------------------------------------------------------------

export const ROLES = ['office', 'technician', 'viewer'] as const;
export type Role = (typeof ROLES)[number];

export interface ApiToken {
  readonly id: string;
  readonly tokenHash: string;
  readonly role: Role;
  /** Sites a viewer reads; null for the other roles: all. */
  readonly sites: readonly string[] | null;
  readonly createdAtMs: number;
}

// --- people --------------------------------------------------------------------------------

export interface Person {
  readonly id: string;
  /** What they type to sign in; compared without case. */
  readonly username: string;
  readonly displayName: string;
  readonly passwordHash: string;
  readonly role: Role;
  readonly sites: readonly string[] | null;
  readonly createdAtMs: number;
}

export interface SignInFailures {
  readonly count: number;
  readonly lastAtMs: number;
}

export interface SessionRecord {
  /** Hash of the cookie's secret. */
  readonly sessionHash: string;
  readonly personId: string;
  readonly csrfToken: string;
  readonly createdAtMs: number;
  readonly expiresAtMs: number;
}

/** A one-time link that lets its holder choose a name and a password. */
export interface Invitation {
  readonly secretHash: string;
  readonly role: Role;
  readonly sites: readonly string[] | null;
  readonly createdAtMs: number;
  readonly expiresAtMs: number;
}

export interface PeopleRecords {
  addToken(token: ApiToken): Promise<void>;
  tokenByHash(tokenHash: string): Promise<ApiToken | null>;

  countPeople(): Promise<number>;
  /**
   * Consumes the invitation and adds the person; false when it is unknown, used or expired. Rejects
   * with `STORE_CONFLICT`, leaving the invitation as it is, when the user name is taken.
   */
  acceptInvitation(secretHash: string, person: Person, nowMs: number): Promise<boolean>;
  addInvitation(invitation: Invitation): Promise<void>;
  invitation(secretHash: string): Promise<Invitation | null>;
  personByUsername(username: string): Promise<Person | null>;
  person(id: string): Promise<Person | null>;

  /** Names are compared without case here as well; count 0 forgets the name. */
  signInFailures(username: string): Promise<SignInFailures>;
  setSignInFailures(username: string, failures: SignInFailures): Promise<void>;

  /** Adds the session, or replaces the one with the same hash (its life was prolonged). */
  addSession(session: SessionRecord): Promise<void>;
  sessionByHash(sessionHash: string): Promise<SessionRecord | null>;
  endSession(sessionHash: string): Promise<void>;
  forgetSessionsBefore(nowMs: number): Promise<void>;
}
