/** Kills at any call of the store, while alarms are raised and answered. */
import type { KeptAsk } from '@lineside/paging';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { happenings } from '../../packages/paging/test/alarm-lives.ts';
import { PagingWorld } from './paging-world.ts';

const MINUTE_MS = 60_000;

const nights = fc.array(
  fc.record({
    waitMs: fc.constantFrom(50, 900, 20_000, 6 * MINUTE_MS, 40 * MINUTE_MS),
    happened: fc.array(happenings, { minLength: 0, maxLength: 3 }),
    /** Which call of the store from now on is the process's last; null: it lives on. */
    killAtCall: fc.option(fc.integer({ min: 1, max: 12 }), { freq: 2 }),
    /** Whether that call was done, and only nobody heard of it. */
    isDone: fc.boolean(),
  }),
  { minLength: 1, maxLength: 12 },
);
type Night = typeof nights extends fc.Arbitrary<infer N> ? N : never;

async function lived(world: PagingWorld, night: Night): Promise<void> {
  await world.prepare();
  let calls = 0;
  let last: { readonly call: number; readonly isDone: boolean } | null = null;
  let isKilled = false;
  let process: Awaited<ReturnType<PagingWorld['start']>> | null = null;
  const begin = async (): Promise<void> => {
    const kill = (): void => {
      isKilled = true;
      process?.cut();
    };
    const starting = world.start(() => {
      calls += 1;
      if (last === null || calls !== last.call) return null;
      if (!last.isDone) kill();
      const whenDone = last.isDone ? kill : null;
      return { beforeMs: last.isDone ? 0 : 1, afterMs: 1, failure: null, isDone: true, whenDone };
    });
    process = await starting;
  };
  await begin();
  for (const { waitMs, happened, killAtCall, isDone } of night) {
    last = killAtCall === null ? null : { call: calls + killAtCall, isDone };
    await world.happen(...happened);
    await world.time.pass(waitMs);
    last = null;
    if (!isKilled) continue;
    world.time.dropIntervals();
    isKilled = false;
    await begin();
  }
  await world.time.pass(5 * 60 * MINUTE_MS);
}

describe('whenever the process is killed', () => {
  it('no alarm that stands unanswered is without a page, and no level is asked twice', async () => {
    await fc.assert(
      fc.asyncProperty(nights, async (night) => {
        const world = new PagingWorld();
        try {
          await lived(world, night);
          const messages = await world.outbox();
          const state = await world.records.alertingState();
          const asks = new Map((state?.asks ?? []).map(({ alarmId, ask }) => [alarmId, ask]));
          expect(state?.journalThrough).toBe(await world.records.journalEnd());
          const linked = new Set(
            [...world.disk.alerting.links.values()].flatMap((one) => one.alarmIds),
          );
          for (const { id, state: isNow } of world.lives.newest.values()) {
            if (isNow !== 'unacknowledged') continue;
            expect(asks.has(id)).toBe(true);
            expect(linked.has(id)).toBe(true);
          }
          for (const { ask } of state?.asks ?? []) {
            const { askingSinceMs, paged } = (ask as KeptAsk).asking;
            const levels = paged.flatMap(({ atMs, level }) => (atMs < askingSinceMs ? [] : level));
            expect(new Set(levels).size).toBe(levels.length);
          }
          const links = [...world.disk.alerting.links.values()];
          const pageOf = ({ pageKey, person }: { pageKey: string; person: string | null }) =>
            `${person} ${pageKey}`;
          expect(new Set(messages.map(pageOf))).toEqual(new Set(links.map(pageOf)));
        } finally {
          world.time.dropIntervals();
          world.time.end();
        }
      }),
      { numRuns: 20 },
    );
  });
});
