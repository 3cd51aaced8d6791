import { BEATING_PARTS, type Heartbeat } from '@lineside/paging/bystander';
import type { ChannelKind } from '@lineside/storage';
import { z } from 'zod';

/** Most contact points that are told: an office and those who are on call. */
export const CONTACTS_MOST = 50;

export interface BystanderSettings {
  readonly kind: 'settings';
  /** What tells this installation from another. */
  readonly place: string;
  /** How long a server that crashed has for coming back. */
  readonly graceMs: number;
  readonly mail: { readonly smtpUrl: string; readonly from: string } | null;
  readonly vapid: {
    readonly subject: string;
    readonly publicKey: string;
    readonly privateKey: string;
  } | null;
  readonly allowedNetworks: readonly string[];
  readonly ping: PingSettings | null;
}

export interface PingSettings {
  readonly url: string;
  /** `whsec_` and base64. */
  readonly secret: string;
  readonly everyMs: number;
}

export interface ToldContact {
  readonly id: string;
  readonly channel: ChannelKind;
  /** Plain JSON. A secret. */
  readonly address: unknown;
}

/** What a ping says of the server. */
export interface ServerReadings {
  /** When readings were last committed; null before the first since the start. */
  readonly lastCommitAtMs: number | null;
  readonly judgingPending: number;
  /** Counted up to a thousand. */
  readonly pagesWaiting: number;
  readonly oldestWaitingAtMs: number | null;
}

/** What a server says to its bystander: one JSON object a line. */
export type ServerLine =
  | BystanderSettings
  | { readonly kind: 'contacts'; readonly contacts: readonly ToldContact[] }
  | {
      readonly kind: 'beats';
      /** Empty while the server starts. */
      readonly beats: readonly Heartbeat[];
      readonly readings: ServerReadings | null;
    }
  /** The server ends because it was told to. */
  | { readonly kind: 'farewell' }
  /** The server could not start; whoever started it sees why. */
  | { readonly kind: 'did-not-start' };

const number = z.number().nonnegative();
const text = z.string();

const contact = z.object({
  id: text.min(1).max(64),
  channel: z.enum(['web-push', 'e-mail', 'webhook']),
  address: z.unknown(),
});

const settings = z.object({
  kind: z.literal('settings'),
  place: text,
  graceMs: number,
  mail: z.object({ smtpUrl: text, from: text }).nullable(),
  vapid: z.object({ subject: text, publicKey: text, privateKey: text }).nullable(),
  allowedNetworks: z.array(text),
  ping: z.object({ url: text, secret: text, everyMs: number }).nullable(),
});

const readings = z.object({
  lastCommitAtMs: number.nullable(),
  judgingPending: number,
  pagesWaiting: number,
  oldestWaitingAtMs: number.nullable(),
});

const beat = z.object({ part: z.enum(BEATING_PARTS), ageMs: number, waiting: number });

const line: z.ZodType<ServerLine> = z.discriminatedUnion('kind', [
  settings,
  z.object({ kind: z.literal('contacts'), contacts: z.array(contact).max(CONTACTS_MOST) }),
  z.object({ kind: z.literal('beats'), beats: z.array(beat), readings: readings.nullable() }),
  z.object({ kind: z.literal('farewell') }),
  z.object({ kind: z.literal('did-not-start') }),
]);

/** Null for what is no line of a server: one that was cut off by a crash. */
export function parseServerLine(said: string): ServerLine | null {
  try {
    return line.parse(JSON.parse(said));
  } catch {
    return null;
  }
}

/** One line with its end. */
export function serverLine(said: ServerLine): string {
  return `${JSON.stringify(said)}\n`;
}
