import type { ChannelKind } from '@lineside/storage';

/** What is said to one contact point. */
export interface PageMessage {
  /** Key of the page, the same each time it is handed over: `[a-z0-9-]{1,32}`. */
  readonly pageKey: string;
  /** Names this hand-over to this contact point; the same when it is tried again. */
  readonly id: string;
  readonly revision: number;
  readonly priority: 'routine' | 'urgent' | 'emergency';
  readonly title: string;
  readonly body: string;
  /** All alarms, a line each. */
  readonly lines: readonly string[];
  /** The page behind the link; null for messages that have none. */
  readonly url: string | null;
  readonly createdAtMs: number;
  readonly expiresAtMs: number;
}

/** What came of one try. */
export type HandedOver =
  | { readonly outcome: 'handed-over' }
  /** May go better later: time-outs, 429 and 5xx answers, a server that is down. */
  | {
      readonly outcome: 'failed';
      readonly reason: string;
      /** Asked for by the other side (`Retry-After`); null when it said nothing. */
      readonly retryAfterMs: number | null;
      /** The other side cannot be reached at all: counts for the breaker. */
      readonly isChannelDown: boolean;
    }
  /** Will never go: refused for good. The message is given up. */
  | { readonly outcome: 'refused'; readonly reason: string }
  /** The contact point is no more (a push subscription that is gone): it is removed. */
  | { readonly outcome: 'gone'; readonly reason: string };

/**
 * One door to people's devices. Every channel passes `test/channel-contract.ts`. A try ends within
 * the channel's own time-out and never rejects: whatever happens is an outcome.
 */
export interface Channel {
  readonly kind: ChannelKind;
  /** @param address of the contact point, plain JSON as it is stored. */
  handOver(address: unknown, message: PageMessage): Promise<HandedOver>;
  /**
   * What stands behind an address and fails as one: the host of a push service, the mail server.
   * Without it each contact point stands alone.
   */
  doorOf?(address: unknown): string | null;
  close(): Promise<void>;
}
