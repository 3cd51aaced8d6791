import type { ChannelKind, ContactPoint, MessageOutcome, OutboxMessage } from '@lineside/storage';
import type { Channel, PageMessage } from '../channels/channel.ts';
import { givenUp } from './settlement.ts';

/** A message that can be tried. */
export interface Ready {
  readonly message: OutboxMessage;
  readonly page: PageMessage;
  readonly contact: ContactPoint;
  readonly channel: Channel;
}

export interface GivenUp {
  readonly message: OutboxMessage;
  readonly settlement: MessageOutcome;
  /** For the metrics. */
  readonly why: 'expired' | 'no-contact' | 'no-channel' | 'unreadable';
}

export interface SortedDue {
  /** The most urgent first, then the soonest due. */
  readonly ready: readonly Ready[];
  readonly givenUp: readonly GivenUp[];
}

interface Known {
  readonly contacts: ReadonlyMap<string, ContactPoint>;
  readonly channels: ReadonlyMap<ChannelKind, Channel>;
  readonly toPage: (message: OutboxMessage) => PageMessage | null;
}

const RANK: Readonly<Record<PageMessage['priority'], number>> = {
  emergency: 0,
  urgent: 1,
  routine: 2,
};

/** Tells messages that are worth a try at `nowMs` from those that will never be. */
export function sortDue(due: readonly OutboxMessage[], known: Known, nowMs: number): SortedDue {
  const ready: Ready[] = [];
  const over: GivenUp[] = [];
  for (const message of due) {
    const found = readyOrWhy(message, known, nowMs);
    if ('why' in found) {
      over.push({ message, settlement: givenUp(message, found.words), why: found.why });
    } else ready.push(found);
  }
  ready.sort((a, b) => RANK[a.page.priority] - RANK[b.page.priority]);
  return { ready, givenUp: over };
}

function readyOrWhy(
  message: OutboxMessage,
  { contacts, channels, toPage }: Known,
  nowMs: number,
): Ready | { readonly why: GivenUp['why']; readonly words: string } {
  if (nowMs >= message.expiresAtMs) {
    return { why: 'expired', words: message.failure ?? 'expired before it could be handed over' };
  }
  const contact = contacts.get(message.contact);
  if (contact === undefined || contact.channel !== message.channel) {
    return { why: 'no-contact', words: `there is no contact point ${message.contact} any more` };
  }
  const channel = channels.get(message.channel);
  if (channel === undefined) {
    return { why: 'no-channel', words: `${message.channel} is not set up on this server` };
  }
  const page = toPage(message);
  if (page === null) return { why: 'unreadable', words: 'the stored words cannot be read' };
  return { message, page, contact, channel };
}
