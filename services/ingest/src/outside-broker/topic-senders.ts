import { parseTopic } from '@lineside/readings';
import type { Identity } from '../broker/identity.ts';
import type { PublishKind } from '../broker/topic-rules.ts';

/** Topics remembered, most: a fleet of 5,000 units has 10,000. */
const MOST_REMEMBERED = 20_000;

export interface Sender {
  readonly kind: PublishKind;
  readonly identity: Identity | null;
}

const NOBODY: Sender = { kind: 'not-allowed', identity: null };

/**
 * Who sent a message, told by its topic: that a node publishes to its own topics only is for the
 * broker's access rules to see to, since a broker does not say who published.
 */
export class TopicSenders {
  readonly #known = new Map<string, Sender>();

  of(topic: string): Sender {
    const known = this.#known.get(topic);
    if (known !== undefined) return known;
    if (this.#known.size >= MOST_REMEMBERED) this.#known.clear();
    const sender = senderOf(topic);
    this.#known.set(topic, sender);
    return sender;
  }
}

function senderOf(topic: string): Sender {
  const parsed = parseTopic(topic);
  if (parsed === null || parsed.type === 'alarm') return NOBODY;
  const { type, site, unit } = parsed;
  return { kind: type, identity: { kind: 'node', site, unit } };
}
