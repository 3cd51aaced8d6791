/** A record store in memory that does what the port says, for tests without files. */
import type { Alarm } from '@lineside/alarms';
import {
  type AlarmChange,
  type AlarmQuery,
  type ApiToken,
  type EpisodesBetweenQuery,
  type Invitation,
  type Judgement,
  type Page,
  type PageLink,
  type PageRequest,
  type Person,
  type Presence,
  type QuarantineEntry,
  type RecordStore,
  type ServiceRecord,
  type SessionRecord,
  type SignInFailures,
  type StoredEpisode,
  type StoredJournalEntry,
  StoreError,
  type UnitRef,
} from '@lineside/storage';
import type { ApiRecords } from '../../src/dependencies.ts';
import { MemoryLife } from './memory-life.ts';

/** Newest first; a cursor is the place of the last item sent. */
function pageOf<T>(
  items: readonly T[],
  { limit, cursor }: PageRequest,
  keyOf: (item: T) => string,
): Page<T> {
  let start = 0;
  if (cursor !== null) {
    const at = items.findIndex((item) => keyOf(item) === cursor);
    if (at === -1) throw new StoreError('STORE_BAD_INPUT', 'not a cursor');
    start = at + 1;
  }
  const page = items.slice(start, start + limit);
  const last = page.at(-1);
  return { items: page, next: last && start + limit < items.length ? keyOf(last) : null };
}

const overlaps = (from: number, to: number | null, query: { fromMs?: number; toMs?: number }) =>
  from < (query.toMs ?? Infinity) && (to === null || to > (query.fromMs ?? -Infinity));

/** What the API uses, and what puts something there for it to find. */
export type FilledRecords = ApiRecords &
  Pick<RecordStore, 'commitJudgement' | 'setPresence' | 'quarantine'>;

export class MemoryRecords extends MemoryLife implements FilledRecords {
  readonly alarmsById = new Map<string, Alarm>();
  readonly journal: StoredJournalEntry[] = [];
  readonly presenceList: Presence[] = [];
  readonly episodeList: StoredEpisode[] = [];
  readonly services: ServiceRecord[] = [];
  readonly quarantineList: QuarantineEntry[] = [];
  readonly pageLinks = new Map<string, PageLink>();
  readonly #tokens = new Map<string, ApiToken>();
  readonly #people = new Map<string, Person>();
  readonly #invitations = new Map<string, Invitation>();
  readonly #failures = new Map<string, SignInFailures>();
  readonly sessions = new Map<string, SessionRecord>();

  async alarm(id: string) {
    return this.alarmsById.get(id) ?? null;
  }
  async alarms(query: AlarmQuery) {
    const found = [...this.alarmsById.values()]
      .filter((alarm) => query.withdrawn === true || !alarm.withdrawn)
      .filter((alarm) => query.state !== 'standing' || alarm.standing)
      .filter((alarm) => query.state !== 'open' || alarm.state !== 'normal')
      .filter((alarm) => query.sites === undefined || query.sites.includes(alarm.site))
      .filter((alarm) => query.unit === undefined || query.unit === alarm.unit)
      .filter((alarm) => query.kind === undefined || query.kind === alarm.kind)
      .filter((alarm) => overlaps(alarm.raisedAtMs, alarm.clearedAtMs, query))
      .sort((one, other) => other.raisedAtMs - one.raisedAtMs || (one.id < other.id ? -1 : 1));
    return pageOf(found, query, (alarm) => alarm.id);
  }
  async changeAlarms(changes: readonly AlarmChange[]) {
    for (const { entry } of changes) {
      const before = this.alarmsById.get(entry.alarm.id);
      if ((before?.revision ?? 0) !== entry.alarm.revision - 1) {
        throw new StoreError('STORE_CONFLICT', 'revision');
      }
    }
    for (const { entry } of changes) {
      this.alarmsById.set(entry.alarm.id, entry.alarm);
      this.journal.push({ ...entry, sequence: this.journal.length + 1 });
    }
  }
  async journalAfter(sequence: number, limit: number) {
    return this.journal.filter((entry) => entry.sequence > sequence).slice(0, limit);
  }
  async journalEnd() {
    return this.journal.length;
  }
  async journalOf(alarmId: string) {
    return this.journal.filter(({ alarm }) => alarm.id === alarmId);
  }
  async pageLink(id: string) {
    return this.pageLinks.get(id) ?? null;
  }
  async bindPageLink(id: string, deviceHash: string, nowMs: number) {
    const link = this.pageLinks.get(id);
    if (link === undefined || link.expiresAtMs <= nowMs) return null;
    const bound = link.deviceHash ?? deviceHash;
    this.pageLinks.set(id, { ...link, deviceHash: bound });
    return bound;
  }
  async episodes(query: UnitRef & PageRequest & { fromMs?: number; toMs?: number }) {
    const found = this.episodeList
      .filter((one) => one.site === query.site && one.unit === query.unit)
      .filter(({ episode }) => overlaps(episode.startMs, episode.endMs, query))
      .sort((one, other) => other.episode.startMs - one.episode.startMs);
    return pageOf(found, query, (one) => String(one.episode.startMs));
  }
  async episodesBetween({ fromMs, toMs, sites }: EpisodesBetweenQuery) {
    return this.episodeList
      .filter(({ site }) => sites?.includes(site) ?? true)
      .filter(({ episode }) => episode.startMs >= fromMs && episode.startMs < toMs)
      .sort((one, other) => other.episode.startMs - one.episode.startMs);
  }
  async commitJudgement({ episodes }: Judgement) {
    this.episodeList.push(...episodes);
  }
  async setPresence(presence: Presence) {
    this.presenceList.push(presence);
  }
  async quarantine(entries: readonly QuarantineEntry[]) {
    this.quarantineList.push(...entries);
  }
  async presences() {
    return this.presenceList;
  }
  async quarantined(query: PageRequest) {
    const found = [...this.quarantineList].sort((one, other) => other.atMs - one.atMs);
    return pageOf(found, query, (one) => String(one.atMs));
  }
  async addServiceRecord(record: ServiceRecord) {
    this.services.push(record);
  }
  async serviceRecords(query: UnitRef & PageRequest) {
    const found = this.services
      .filter((one) => one.site === query.site && one.unit === query.unit)
      .sort((one, other) => other.atMs - one.atMs);
    return pageOf(found, query, (one) => one.id);
  }
  async serviceBetween({ site, unit }: UnitRef, fromMs: number, toMs: number) {
    return this.services
      .filter((one) => one.site === site && one.unit === unit)
      .filter(({ atMs }) => atMs >= fromMs && atMs < toMs)
      .sort((one, other) => one.atMs - other.atMs);
  }
  async addToken(token: ApiToken) {
    this.#tokens.set(token.tokenHash, token);
  }
  async tokenByHash(tokenHash: string) {
    return this.#tokens.get(tokenHash) ?? null;
  }
  async countPeople() {
    return this.#people.size;
  }
  async acceptInvitation(secretHash: string, person: Person, nowMs: number) {
    const invitation = this.#invitations.get(secretHash);
    if (invitation === undefined || invitation.expiresAtMs <= nowMs) return false;
    this.#invitations.delete(secretHash);
    this.#people.set(person.id, person);
    return true;
  }
  async addInvitation(invitation: Invitation) {
    this.#invitations.set(invitation.secretHash, invitation);
  }
  async invitation(secretHash: string) {
    return this.#invitations.get(secretHash) ?? null;
  }
  async personByUsername(username: string) {
    const wanted = username.toLowerCase();
    return [...this.#people.values()].find((one) => one.username.toLowerCase() === wanted) ?? null;
  }
  async person(id: string) {
    return this.#people.get(id) ?? null;
  }
  async signInFailures(username: string) {
    return this.#failures.get(username.toLowerCase()) ?? { count: 0, lastAtMs: 0 };
  }
  async setSignInFailures(username: string, failures: SignInFailures) {
    this.#failures.set(username.toLowerCase(), failures);
  }
  async addSession(session: SessionRecord) {
    this.sessions.set(session.sessionHash, session);
  }
  async sessionByHash(sessionHash: string) {
    return this.sessions.get(sessionHash) ?? null;
  }
  async endSession(sessionHash: string) {
    this.sessions.delete(sessionHash);
  }
  async forgetSessionsBefore(nowMs: number) {
    for (const [hash, one] of this.sessions) {
      if (one.expiresAtMs <= nowMs) this.sessions.delete(hash);
    }
  }
}
