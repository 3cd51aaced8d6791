import type { PageMessage } from '../src/channels/channel.ts';

/** A page about one alarm, with what a test changes about it. */
export function sampleMessage(changes: Partial<PageMessage> = {}): PageMessage {
  return {
    pageKey: 'ana-17',
    id: 'ana-17.phone-of-ana',
    revision: 1,
    priority: 'urgent',
    title: 'Urgent moisture: RTU 3, Pier nine',
    body: 'Since 02:10. Condensate at the compressor terminals (72 %).',
    lines: ['Urgent moisture: RTU 3, Pier nine, since 02:10'],
    url: 'https://lineside.example/p/Zk3aa',
    createdAtMs: Date.UTC(2031, 4, 3, 2, 12),
    expiresAtMs: Date.now() + 3_600_000,
    ...changes,
  };
}
