import type { ChannelKind } from './alerting-records.ts';

/** The rota, how people are reached, and secrets that the house made for itself. */
export interface OnCallRecords {
  /** The rota document as last saved, or null. */
  loadRota(): Promise<StoredRota | null>;
  /**
   * Replaces it. Rejects with `STORE_CONFLICT` when `basedOn` is not the stored generation (0 before
   * the first).
   */
  saveRota(document: unknown, basedOn: number): Promise<void>;

  /** By id. */
  contactPoints(): Promise<readonly ContactPoint[]>;
  /** Adds it, or replaces the one with the same id. */
  setContactPoint(contact: ContactPoint): Promise<void>;
  /** One that is not there is no error. */
  removeContactPoint(id: string): Promise<void>;

  /** The secret of that name: `fallback` from the first call on, whoever asks. */
  secretOr(name: string, fallback: string): Promise<string>;
}

export interface StoredRota {
  readonly generation: number;
  /** Plain JSON. */
  readonly document: unknown;
}

/** One way to reach somebody. */
export interface ContactPoint {
  /** `[A-Za-z0-9_.-]{1,64}` */
  readonly id: string;
  /** Person of the rota, which is a user name where the person signs in; null for the office. */
  readonly person: string | null;
  readonly channel: ChannelKind;
  /** For people: `phone of Ana`. */
  readonly name: string;
  /** Plain JSON: a push subscription, a mail address, an address with its secret. */
  readonly address: unknown;
  readonly createdAtMs: number;
  /** Where it came from: a file that was applied, or a person's device. */
  readonly origin: 'file' | 'device';
}
