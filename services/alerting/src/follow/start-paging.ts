import type { OnCallRecords } from '@lineside/storage';
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
  readonly metrics: Registry;
}

/** Starts to follow the alarm journal; messages go into the outbox, `onMessages` says so. */
export async function startPaging({ metrics, ...parts }: PagingParts): Promise<PagingFollower> {
  const pagesTotal = createFollowerMetrics(metrics, {
    asksOpen: () => follower.asksOpen,
    lagSeconds: () => Math.max(0, parts.clock() - follower.caughtUpAtMs) / 1000,
  });
  const follower = new PagingFollower({
    ...parts,
    onCall: new OnCallBook(parts.records, parts.log),
    linkSecret: await pageLinkSecret(parts.records),
    onPages: (pages) => {
      for (const { kind } of pages) pagesTotal.inc({ kind });
    },
  });
  follower.start();
  return follower;
}
