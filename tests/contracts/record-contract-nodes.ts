import { QUARANTINE_MOST_ENTRIES } from '@lineside/storage';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  everyItem,
  expectFailure,
  ILLEGAL_PAGES,
  type MakePlace,
  type RecordPlace,
} from './record-place.ts';
import { FIRST_PAGE, NOW_MS, quarantined, SITE, UNIT } from './record-samples.ts';

const REF = { site: SITE, unit: UNIT };

/** What nodes leave behind: quarantine, presence. */
export function recordNodeContract(make: MakePlace): void {
  let place: RecordPlace;
  beforeEach(async () => {
    place = await make();
  });
  afterEach(() => place.dispose());

  describe('quarantine', () => {
    it('keeps each message as it came, the last added first', async () => {
      const { store } = place;
      const big = quarantined(3, 4_096);
      await store.quarantine([quarantined(1), quarantined(2, 0)]);
      await store.quarantine([]);
      await store.quarantine([big]);
      const { items } = await store.quarantined(FIRST_PAGE);
      expect(items.map(({ reason }) => reason)).toEqual(['sample 3', 'sample 2', 'sample 1']);
      expect(items.map(plain)).toEqual([big, quarantined(2, 0), quarantined(1)].map(plain));
    });

    it('takes a payload that is a view into something bigger', async () => {
      const { store } = place;
      const whole = Buffer.from('the whole packet of a broker');
      const payload = whole.subarray(4, 9);
      await store.quarantine([{ ...quarantined(1), payload }]);
      const [entry] = (await store.quarantined(FIRST_PAGE)).items;
      expect(Buffer.from(entry?.payload ?? []).toString()).toBe('whole');
      expect(whole.toString()).toBe('the whole packet of a broker');
    });

    it('pages neither repeat nor hide entries while others are added', async () => {
      const { store } = place;
      await store.quarantine(Array.from({ length: 10 }, (_, index) => quarantined(index)));
      let count = 100;
      const walked = await everyItem(async (cursor) => {
        const page = await store.quarantined({ limit: 3, cursor });
        count += 1;
        await store.quarantine([quarantined(count)]);
        return page;
      });
      expect(walked.map(({ reason }) => reason)).toEqual(
        Array.from({ length: 10 }, (_, index) => `sample ${9 - index}`),
      );
      for (const page of ILLEGAL_PAGES) {
        await expectFailure(store.quarantined(page), 'STORE_BAD_INPUT');
      }
    });

    it('is bounded: the last added stay', async () => {
      const { store } = place;
      const extra = 25;
      const most = QUARANTINE_MOST_ENTRIES + extra;
      for (let at = 0; at < most; at += 20_000) {
        const batch = Math.min(20_000, most - at);
        await store.quarantine(Array.from({ length: batch }, (_, one) => quarantined(at + one, 1)));
      }
      let entries = 0;
      const ends: string[] = [];
      await everyItem(async (cursor) => {
        const page = await store.quarantined({ limit: 1_000, cursor });
        entries += page.items.length;
        ends.push(page.items.at(-1)?.reason ?? '');
        return { items: [], next: page.next };
      });
      expect(entries).toBe(QUARANTINE_MOST_ENTRIES);
      expect(ends.at(-1)).toBe(`sample ${extra}`);
    });

    it('forgets what is older than asked', async () => {
      const { store } = place;
      await store.quarantine([quarantined(1), quarantined(2), quarantined(3)]);
      await store.forgetQuarantineBefore(NOW_MS + 2);
      const left = (await store.quarantined(FIRST_PAGE)).items;
      expect(left.map(({ reason }) => reason)).toEqual(['sample 3', 'sample 2']);
    });

    it('refuses too much of a message, and keeps nothing of the batch', async () => {
      const { store } = place;
      for (const broken of [quarantined(2, 4_097), { ...quarantined(2), atMs: Number.NaN }]) {
        await expectFailure(store.quarantine([quarantined(1), broken]), 'STORE_BAD_INPUT');
      }
      expect((await store.quarantined(FIRST_PAGE)).items).toEqual([]);
    });
  });

  describe('presence', () => {
    it('is what was said last of each unit', async () => {
      const { store } = place;
      expect(await store.presences()).toEqual([]);
      const away = { ...REF, online: false, sinceMs: NOW_MS + 1 };
      const other = { ...REF, unit: 'rtu-02', online: true, sinceMs: NOW_MS };
      await store.setPresence({ ...REF, online: true, sinceMs: NOW_MS });
      await store.setPresence(other);
      await store.setPresence(away);
      expect(await store.presences()).toEqual([away, other]);
      const never = { ...REF, online: true, sinceMs: Number.NaN };
      await expectFailure(store.setPresence(never), 'STORE_BAD_INPUT');
      expect(await store.presences()).toEqual([away, other]);
    });
  });
}

/** Buffers of any class, compared by what they hold. */
function plain<T extends { readonly payload: Uint8Array }>(entry: T) {
  return { ...entry, payload: [...entry.payload] };
}
