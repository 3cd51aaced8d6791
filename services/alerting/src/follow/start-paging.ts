import type { ChannelKind, OnCallRecords } from '@lineside/storage';
import type { Registry } from 'prom-client';
import { pageLinkSecret } from '../messages/page-link.ts';
import { OnCallBook, type OnCallBookRecords } from '../oncall/on-call-book.ts';
import { createFollowerMetrics } from './follower-metrics.ts';
import { type FollowerParts, type FollowerRecords, PagingFollower } from './paging-follower.ts';

/** What paging uses of the record store. */
type PagingRecords = FollowerRecords & OnCallBookRecords & Pick<OnCallRecords, 'secretOr'>;

export interface PagingParts
  extends Omit<FollowerParts, 'records' | 'onCall' | 'linkSecret' | 'onPages'> {
  readonly records: PagingRecords;
  /** Whether pages can be handed over this way at all. */
  readonly hasChannel: (kind: ChannelKind) => boolean;
  readonly metrics: Registry;
}

/** Starts to follow the alarm journal; messages go into the outbox, `onMessages` says so. */
export async function startPaging(given: PagingParts): Promise<PagingFollower> {
  const { metrics, hasChannel, ...parts } = given;
  const pagesTotal = createFollowerMetrics(metrics, {
    asksOpen: () => follower.asksOpen,
    lagSeconds: () => Math.max(0, parts.clock() - follower.caughtUpAtMs) / 1000,
  });
  const follower = new PagingFollower({
    ...parts,
    onCall: new OnCallBook(parts.records, hasChannel, parts.log),
    linkSecret: await pageLinkSecret(parts.records),
    onPages: (pages) => {
      for (const { kind } of pages) pagesTotal.inc({ kind });
    },
  });
  follower.start();
  return follower;
}
