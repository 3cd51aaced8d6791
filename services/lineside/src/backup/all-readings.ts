import type { Reading } from '@lineside/readings';
import type { TelemetryStore } from '@lineside/storage';

/** Readings of one question: some megabytes, whatever the store holds. */
const PAGE_READINGS = 10_000;

/** The last part of all units is asked for at the end, so that little is missing of it. */
const LAST_PART_MS = 86_400_000;

/** The year 9999 is the last that stores know. */
const END_MS: number = Date.UTC(10_000, 0, 1);

/**
 * Everything that a store holds, unit by unit, in two passes: what is older than a day, then the
 * rest, so that what a running server stored meanwhile is in it but for the time of the second.
 */
export async function* allReadings(
  store: Pick<TelemetryStore, 'latest' | 'readings'>,
  nowMs: number,
): AsyncGenerator<readonly Reading[]> {
  const cutMs = Math.max(0, nowMs - LAST_PART_MS);
  for (const span of [
    { fromMs: 0, toMs: cutMs },
    { fromMs: cutMs, toMs: END_MS },
  ]) {
    for (const { site, unit } of await store.latest()) {
      let { fromMs } = span;
      while (fromMs < span.toMs) {
        const query = { site, unit, fromMs, toMs: span.toMs, limit: PAGE_READINGS };
        const page = await store.readings(query);
        if (page.length > 0) yield page;
        const last = page.at(-1);
        if (last === undefined || page.length < PAGE_READINGS) break;
        fromMs = last.atMs + 1;
      }
    }
  }
}

/** Puts readings into a store; what is there already changes nothing. Gives how many there were. */
export async function storeReadings(
  store: Pick<TelemetryStore, 'append'>,
  batches: AsyncIterable<readonly Reading[]>,
): Promise<number> {
  let count = 0;
  for await (const batch of batches) {
    await store.append(batch);
    count += batch.length;
  }
  return count;
}
