import type { Channel } from '../../src/channels/channel.ts';

/** How the other side answers from now on. */
export type Answering =
  | 'accepts'
  /** Takes the connection and says nothing. */
  | 'hangs'
  /** Cannot now, and says for how long where the protocol lets it. */
  | 'is-busy'
  | 'is-broken'
  | 'refuses'
  | 'says-gone';

/** What came through, read and verified as the protocol asks of a receiver. */
export interface Received {
  /** The same for each revision of a page. */
  readonly pageKey: string;
  /** The same for each try of one revision, and for no other. */
  readonly tryKey: string;
  readonly title: string;
  readonly body: string;
  readonly url: string | null;
}

/** The other side of a channel, on loopback. */
export interface Counterpart {
  readonly channel: Channel;
  readonly address: unknown;
  readonly received: readonly Received[];
  /** What is in the address or the settings and must never be in a reason. */
  readonly secrets: readonly string[];
  /** What `is-busy` asks to wait; null where the protocol has no word for it. */
  readonly busyForMs: number | null;
  readonly knowsGone: boolean;
  answer(how: Answering): void;
  /** Nobody listens any more. */
  goDown(): Promise<void>;
  close(): Promise<void>;
}

/** As a channel has it outside of tests. */
export const TRY_MS = 10_000;

/** For tests that wait for it. */
export const SHORT_TRY_MS = 300;

/** Networks that the counterparts are in. */
export const LOOPBACK: readonly string[] = ['127.0.0.0/8'];
