import {
  type CalendarRecords,
  type ContactPoint,
  type OutboxMessage,
  type PageRequest,
  type StoredRota,
  StoreError,
} from '@lineside/storage';

/** The part of the records in memory that the on-call routes use. */
export class MemoryOnCall implements CalendarRecords {
  rota: StoredRota | null = null;
  readonly contactList = new Map<string, ContactPoint>();
  readonly outbox: OutboxMessage[] = [];
  readonly #calendars = new Map<string, string>();

  async loadRota() {
    return this.rota;
  }
  async saveRota(document: unknown, basedOn: number) {
    if ((this.rota?.generation ?? 0) !== basedOn) {
      throw new StoreError('STORE_CONFLICT', 'the rota is another one');
    }
    this.rota = { generation: basedOn + 1, document: structuredClone(document) };
  }
  async contactPoints() {
    return [...this.contactList.values()].sort((one, other) => (one.id < other.id ? -1 : 1));
  }
  async setContactPoint(contact: ContactPoint) {
    this.contactList.set(contact.id, contact);
  }
  async removeContactPoint(id: string) {
    this.contactList.delete(id);
  }
  async messagesDue(nowMs: number, limit: number) {
    return this.outbox
      .filter(({ state, dueAtMs }) => state === 'waiting' && dueAtMs <= nowMs)
      .slice(0, limit);
  }
  async messages({ limit }: PageRequest) {
    const newestFirst = this.outbox.toSorted((one, other) => other.createdAtMs - one.createdAtMs);
    return { items: newestFirst.slice(0, limit), next: null };
  }
  async lastHandedOver() {
    return this.outbox.flatMap(({ channel, handedOverAtMs }) =>
      handedOverAtMs === null ? [] : [{ channel, atMs: handedOverAtMs }],
    );
  }
  async setCalendarSecret(username: string, secretHash: string | null) {
    if (secretHash === null) this.#calendars.delete(username);
    else this.#calendars.set(username, secretHash);
  }
  async calendarOwner(secretHash: string) {
    for (const [username, hash] of this.#calendars) if (hash === secretHash) return username;
    return null;
  }
}
