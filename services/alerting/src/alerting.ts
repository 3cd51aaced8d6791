import type { ChannelKind } from '@lineside/storage';
import type { Channel } from './channels/channel.ts';
import { type PagingParts, startPaging } from './follow/start-paging.ts';
import {
  createDeliverer,
  type DelivererHealth,
  type DelivererRecords,
} from './outbox/deliverer.ts';

export interface AlertingParts extends Omit<PagingParts, 'hasChannel' | 'onMessages'> {
  readonly records: PagingParts['records'] & DelivererRecords;
  /** Closed by `stop`. */
  readonly channels: ReadonlyMap<ChannelKind, Channel>;
  /** From 0 to below 1, evenly spread. */
  readonly random: () => number;
}

export interface AlertingHealth {
  /** When the journal was last read to its end and all that follows was kept. */
  readonly caughtUpAtMs: number;
  /** Alarms that nobody has answered, and those that the next digest tells of. */
  readonly asksOpen: number;
  /** Why the newest step failed; null when it did not. */
  readonly failure: string | null;
  readonly deliverer: DelivererHealth;
}

/** From the alarm journal to people's devices. */
export interface Alerting {
  /** The alarm journal, holds, rota or contact points may have changed. Cheap, call it often. */
  journalGrew(): void;
  /** Something was put into the outbox by somebody else. */
  messagesWait(): void;
  health(): AlertingHealth;
  /** Ends after the step under way; takes nothing new, waits a little for what is in flight. */
  stop(): Promise<void>;
}

/**
 * Starts to follow the alarm journal and to hand pages over. A crash at any moment repeats at most
 * what was in flight, under the same keys, and forgets nobody.
 */
export async function startAlerting(parts: AlertingParts): Promise<Alerting> {
  const { records, channels, clock, random, log, metrics } = parts;
  const deliverer = createDeliverer({ records, channels, clock, random, log, metrics });
  const follower = await startPaging({
    ...parts,
    hasChannel: (kind) => channels.has(kind),
    onMessages: () => deliverer.poke(),
  });
  deliverer.start();
  return {
    journalGrew: () => follower.poke(),
    messagesWait: () => deliverer.poke(),
    health: () => ({
      caughtUpAtMs: follower.caughtUpAtMs,
      asksOpen: follower.asksOpen,
      failure: follower.failure,
      deliverer: deliverer.health(),
    }),
    stop: async () => {
      await follower.stop();
      await deliverer.stop();
      await Promise.all([...channels.values()].map((channel) => channel.close()));
    },
  };
}
