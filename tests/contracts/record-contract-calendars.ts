import type { NewMessage } from '@lineside/storage';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { MakePlace, RecordPlace } from './record-place.ts';
import { NOW_MS } from './record-samples.ts';

/** Secret addresses of calendars, and messages that are no step of alerting. */
export function recordCalendarContract(make: MakePlace): void {
  let place: RecordPlace;
  beforeEach(async () => {
    place = await make();
  });
  afterEach(() => place.dispose());

  describe('the secret of a calendar', () => {
    it('finds its owner until it is replaced or taken away', async () => {
      const { store } = place;
      await store.setCalendarSecret('ana', 'hash-1');
      await store.setCalendarSecret('ben', 'hash-2');
      expect(await store.calendarOwner('hash-1')).toBe('ana');
      await store.setCalendarSecret('ana', 'hash-3');
      expect(await store.calendarOwner('hash-1')).toBeNull();
      expect(await store.calendarOwner('hash-3')).toBe('ana');
      await store.setCalendarSecret('ana', null);
      await store.setCalendarSecret('ana', null);
      expect(await store.calendarOwner('hash-3')).toBeNull();
      expect(await store.calendarOwner('hash-2')).toBe('ben');
    });
  });

  describe('messages that are no step', () => {
    it('wait like those of a step, and leave where alerting stands alone', async () => {
      const { store } = place;
      const message: NewMessage = {
        ...{ id: 'test-1.phone', revision: 1, pageKey: 'test-1', person: 'ana', contact: 'phone' },
        ...{ channel: 'web-push' as const, words: { title: 'A test' }, createdAtMs: NOW_MS },
        ...{ dueAtMs: NOW_MS, expiresAtMs: NOW_MS + 60_000 },
      };
      await store.addMessages([message]);
      expect(await store.messagesDue(NOW_MS, 10)).toMatchObject([{ ...message, attempts: 0 }]);
      expect(await store.alertingState()).toBeNull();
    });

    it('are kept all or none', async () => {
      const { store } = place;
      const message: NewMessage = {
        ...{ id: 'test-1.phone', revision: 1, pageKey: 'test-1', person: 'ana', contact: 'phone' },
        ...{ channel: 'web-push' as const, words: {}, createdAtMs: NOW_MS },
        ...{ dueAtMs: NOW_MS, expiresAtMs: NOW_MS + 60_000 },
      };
      const wrong = { ...message, id: 'test-2.phone', pageKey: 'No Key' };
      await expect(store.addMessages([message, wrong])).rejects.toThrow();
      expect(await store.messagesDue(NOW_MS, 10)).toEqual([]);
    });
  });
}
