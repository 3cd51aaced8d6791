import type { ChannelKind, ContactPoint, NewMessage } from '@lineside/storage';
import { pino } from 'pino';
import { Registry } from 'prom-client';
import { vi } from 'vitest';
import type { Channel, HandedOver, PageMessage } from '../src/channels/channel.ts';
import { createDeliverer, type Deliverer } from '../src/outbox/deliverer.ts';
import type { DelivererLimits } from '../src/outbox/limits.ts';
import type { MessageWords } from '../src/outbox/message-words.ts';
import { MemoryOutbox } from './memory-outbox.ts';

export const OK: HandedOver = { outcome: 'handed-over' };
export const DOWN: HandedOver = {
  outcome: 'failed',
  reason: 'nobody listens',
  retryAfterMs: null,
  isChannelDown: true,
};
export const BUSY: HandedOver = { ...DOWN, reason: 'answered 503', isChannelDown: false };

type Answer = (message: PageMessage, address: unknown) => HandedOver | Promise<HandedOver>;

/** A channel that answers as the test says, and knows whether one id was in flight twice. */
class ScriptedChannel implements Channel {
  readonly kind: ChannelKind;
  readonly tries: { readonly id: string; readonly revision: number; readonly atMs: number }[] = [];
  readonly #inFlight = new Set<string>();
  readonly #door: (address: unknown) => string | null;
  answer: Answer = () => OK;
  mostInFlight = 0;
  twiceAtOnce: string[] = [];

  constructor(kind: ChannelKind, door: (address: unknown) => string | null = () => null) {
    this.kind = kind;
    this.#door = door;
  }

  doorOf(address: unknown): string | null {
    return this.#door(address);
  }

  async handOver(address: unknown, message: PageMessage): Promise<HandedOver> {
    const { id, revision } = message;
    if (this.#inFlight.has(id)) this.twiceAtOnce.push(id);
    this.#inFlight.add(id);
    this.mostInFlight = Math.max(this.mostInFlight, this.#inFlight.size);
    this.tries.push({ id, revision, atMs: Date.now() });
    const result = await this.answer(message, address);
    this.#inFlight.delete(id);
    return result;
  }

  async close(): Promise<void> {}
}

export interface DelivererHouse {
  readonly outbox: MemoryOutbox;
  readonly webhook: ScriptedChannel;
  readonly mail: ScriptedChannel;
  readonly deliverer: Deliverer;
  readonly registry: Registry;
  readonly logged: readonly string[];
}

/** A deliverer over an outbox in memory; needs a faked clock. */
export function delivererHouse(limits: Partial<DelivererLimits> = {}): DelivererHouse {
  const outbox = new MemoryOutbox();
  const webhook = new ScriptedChannel('webhook', (address) => JSON.stringify(address));
  const mail = new ScriptedChannel('e-mail', () => 'mail.example');
  const registry = new Registry();
  const logged: string[] = [];
  const log = pino({ level: 'info' }, { write: (line: string) => void logged.push(line) });
  const deliverer = createDeliverer({
    records: outbox,
    channels: new Map([webhook, mail].map((channel) => [channel.kind, channel])),
    clock: () => Date.now(),
    random: () => 0.5,
    log,
    metrics: registry,
    limits,
  });
  return { outbox, webhook, mail, deliverer, registry, logged };
}

/** The same with contact points `a` to `d`. */
export function houseWithContacts(limits: Partial<DelivererLimits> = {}): DelivererHouse {
  const house = delivererHouse(limits);
  for (const id of ['a', 'b', 'c', 'd']) house.outbox.contacts.set(id, contactPoint(id));
  return house;
}

export async function later(waitMs: number): Promise<void> {
  await vi.advanceTimersByTimeAsync(waitMs);
}

/** Stops the deliverer on the faked clock and gives the real one back. */
export async function closeHouse({ deliverer }: DelivererHouse): Promise<void> {
  const stopped = deliverer.stop();
  await later(10_000);
  await stopped;
  vi.useRealTimers();
}

export function contactPoint(id: string, changes: Partial<ContactPoint> = {}): ContactPoint {
  return {
    id,
    person: 'ana',
    channel: 'webhook',
    name: `way ${id}`,
    address: { gate: id },
    createdAtMs: 0,
    origin: 'file',
    ...changes,
  };
}

const WORDS: MessageWords = {
  priority: 'urgent',
  title: 'Urgent moisture: RTU 3, Pier nine',
  body: 'Since 02:10.',
  lines: [],
  url: null,
};

export const HOUR_MS = 3_600_000;

export function newMessage(
  id: string,
  contact: string,
  changes: Partial<NewMessage> = {},
): NewMessage {
  const nowMs = Date.now();
  return {
    id,
    revision: 1,
    pageKey: 'ana-1',
    person: 'ana',
    contact,
    channel: 'webhook',
    words: WORDS,
    createdAtMs: nowMs,
    dueAtMs: nowMs,
    expiresAtMs: nowMs + HOUR_MS,
    ...changes,
  };
}

/** Words of a given priority. */
export function wordsOf(priority: MessageWords['priority']): MessageWords {
  return { ...WORDS, priority };
}

/** A channel's answer that the test gives when it likes. */
export function held(): {
  answer: () => Promise<HandedOver>;
  release: (result: HandedOver) => void;
} {
  let release: (result: HandedOver) => void = () => {};
  const promise = new Promise<HandedOver>((resolve) => {
    release = resolve;
  });
  return { answer: () => promise, release: (result) => release(result) };
}
