import type { ChannelKind, OutboxMessage, PageLink } from '@lineside/storage';

/** What alerting has on the disk; documents as JSON text. */
export interface SavedAlerting {
  generation: number;
  journalThrough: number;
  paging: string;
  readonly asks: Map<string, string>;
  readonly messages: Map<string, OutboxMessage>;
  readonly handedOver: Map<ChannelKind, number>;
  readonly links: Map<string, PageLink>;
}

export function noAlerting(): SavedAlerting {
  return {
    generation: 0,
    journalThrough: 0,
    paging: 'null',
    asks: new Map(),
    messages: new Map(),
    handedOver: new Map(),
    links: new Map(),
  };
}
