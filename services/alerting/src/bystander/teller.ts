import { setTimeout as sleep } from 'node:timers/promises';
import { type Telling, tellingWords } from '@lineside/paging/bystander';
import type { ChannelKind } from '@lineside/storage';
import type { Channel, HandedOver, PageMessage } from '../channels/channel.ts';
import { retryPauseMs } from '../outbox/retry-pause.ts';
import type { ToldContact } from './pipe-lines.ts';

/** How long it is tried to tell something; then the next telling of the trouble is due. */
const TELL_WITHIN_MS = 3_600_000;

export type Say = (
  level: 'info' | 'warn',
  words: string,
  about?: Readonly<Record<string, string | number>>,
) => void;

export interface TellerParts {
  readonly channels: ReadonlyMap<ChannelKind, Channel>;
  readonly place: string;
  readonly clock: () => number;
  /** From 0 to below 1, evenly spread. */
  readonly random: () => number;
  readonly say: Say;
}

/** Hands tellings over, each to every contact point, and tries again what fails. */
export class Teller {
  readonly #parts: TellerParts;
  readonly #closing = new AbortController();
  /** Newest revision by trouble and contact: an older one is not tried any more. */
  readonly #newest = new Map<string, number>();
  readonly #under = new Set<Promise<void>>();

  constructor(parts: TellerParts) {
    this.#parts = parts;
  }

  tell(telling: Telling, contacts: readonly ToldContact[]): void {
    for (const contact of contacts) {
      const message = messageOf(telling, contact, this.#parts.place);
      this.#newest.set(message.id, message.revision);
      const told = this.#untilTold(contact, message);
      this.#under.add(told);
      void told.finally(() => this.#under.delete(told));
    }
  }

  /** Ends tries at once. */
  async close(): Promise<void> {
    this.#closing.abort();
    await Promise.all([...this.#parts.channels.values()].map((channel) => channel.close()));
    await Promise.all(this.#under);
  }

  async #untilTold({ id, channel: kind, address }: ToldContact, message: PageMessage) {
    const { channels, clock, random, say } = this.#parts;
    const channel = channels.get(kind);
    const about = { contact: id, channel: kind, key: message.pageKey };
    if (channel === undefined) {
      say('warn', 'a trouble cannot be told: the channel is not set up', about);
      return;
    }
    for (
      let attempts = 1;
      this.#isWanted(message) && clock() < message.expiresAtMs;
      attempts += 1
    ) {
      const result = await channel.handOver(address, message).catch(broken);
      if (result.outcome === 'handed-over') {
        say('info', 'a trouble was told', about);
        return;
      }
      say('warn', 'a trouble could not be told', { ...about, reason: result.reason });
      if (result.outcome !== 'failed') return;
      const pauseMs = retryPauseMs(attempts, result.retryAfterMs, random());
      await sleep(pauseMs, undefined, { signal: this.#closing.signal }).catch(() => {});
    }
  }

  #isWanted({ id, revision }: PageMessage): boolean {
    return !this.#closing.signal.aborted && this.#newest.get(id) === revision;
  }
}

/** A channel never rejects; one that does all the same is tried again. */
function broken(error: unknown): HandedOver {
  const reason = `the channel broke: ${error instanceof Error ? error.name : 'unknown'}`;
  return { outcome: 'failed', reason, retryAfterMs: null, isChannelDown: false };
}

function messageOf(telling: Telling, contact: ToldContact, place: string): PageMessage {
  return {
    pageKey: telling.key,
    id: `${telling.key}.${contact.id}`,
    revision: telling.revision,
    priority: telling.news === 'stopped' ? 'urgent' : 'routine',
    ...tellingWords(telling, place),
    lines: [],
    url: null,
    createdAtMs: telling.atMs,
    expiresAtMs: telling.atMs + TELL_WITHIN_MS,
  };
}
