import type { MessageOutcome, NewMessage, RecordStore } from '@lineside/storage';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  everyItem,
  expectFailure,
  ILLEGAL_PAGES,
  type MakePlace,
  type RecordPlace,
} from './record-place.ts';
import { FIRST_PAGE, NOW_MS } from './record-samples.ts';
import { handedOver, message, step } from './record-samples-alerting.ts';

const WAITING = { state: 'waiting', attempts: 0, handedOverAtMs: null, failure: null } as const;

/** Messages on their way: due, settled, written over, forgotten. */
export function recordOutboxContract(make: MakePlace): void {
  let place: RecordPlace;
  let store: RecordStore;
  beforeEach(async () => {
    place = await make();
    store = place.store;
  });
  afterEach(() => place.dispose());

  async function write(...messages: readonly NewMessage[]): Promise<void> {
    const generation = (await store.alertingState())?.generation ?? 0;
    await store.commitAlerting(step(generation, { messages }));
  }
  async function dueIds(nowMs: number, limit = 1_000): Promise<readonly string[]> {
    return (await store.messagesDue(nowMs, limit)).map(({ id }) => id);
  }
  async function storedMessage(id: string) {
    return (await store.messages(FIRST_PAGE)).items.find((one) => one.id === id);
  }
  const settle = (...outcomes: readonly MessageOutcome[]) => store.settleMessages(outcomes);

  describe('messages that are due', () => {
    it('are those that wait and whose time has come, the soonest first', async () => {
      await write(
        message('m-late', { dueAtMs: NOW_MS + 2 }),
        message('m-b', { dueAtMs: NOW_MS + 1 }),
        message('m-a', { dueAtMs: NOW_MS + 1 }),
        message('m-first'),
      );
      expect(await dueIds(NOW_MS - 1)).toEqual([]);
      expect(await dueIds(NOW_MS + 1)).toEqual(['m-first', 'm-a', 'm-b']);
      expect(await dueIds(NOW_MS + 2, 2)).toEqual(['m-first', 'm-a']);
      const [first] = await store.messagesDue(NOW_MS, 1);
      expect(first).toEqual({ ...message('m-first'), ...WAITING });
    });

    it('are asked for 1 to 1,000 at a time', async () => {
      for (const limit of [0, -1, 1_001, 1.5, Number.NaN]) {
        await expectFailure(store.messagesDue(NOW_MS, limit), 'STORE_BAD_INPUT');
      }
    });

    it('are announced by the time of the next one that waits', async () => {
      expect(await store.nextMessageDueMs()).toBeNull();
      await write(message('m1', { dueAtMs: NOW_MS + 5 }), message('m2', { dueAtMs: NOW_MS + 9 }));
      expect(await store.nextMessageDueMs()).toBe(NOW_MS + 5);
      await settle(handedOver('m1'));
      expect(await store.nextMessageDueMs()).toBe(NOW_MS + 9);
      await settle(handedOver('m2', { state: 'given-up' }));
      expect(await store.nextMessageDueMs()).toBeNull();
    });
  });

  describe('the outcome of a message', () => {
    it('is kept with it, and it waits no more', async () => {
      const gone = handedOver('m1', { attempts: 3, failure: 'timed out before' });
      const lost = { state: 'given-up', handedOverAtMs: null, failure: 'no such device' } as const;
      await write(message('m1'), message('m2'), message('m3'));
      await settle(gone, handedOver('m2', lost), handedOver('unknown'));
      expect(await dueIds(NOW_MS)).toEqual(['m3']);
      expect(await storedMessage('m1')).toEqual({ ...message('m1'), ...gone });
      expect(await storedMessage('m2')).toEqual({ ...message('m2'), ...handedOver('m2', lost) });
      expect(await storedMessage('unknown')).toBeUndefined();
    });

    it('of a failure lets it wait until it is tried again', async () => {
      await write(message('m1'));
      const failed = { state: 'waiting', attempts: 1, failure: 'timed out' } as const;
      const outcome = { ...failed, dueAtMs: NOW_MS + 30, handedOverAtMs: null };
      await settle(handedOver('m1', outcome));
      expect(await dueIds(NOW_MS + 29)).toEqual([]);
      expect(await store.nextMessageDueMs()).toBe(NOW_MS + 30);
      expect(await store.messagesDue(NOW_MS + 30, 1)).toMatchObject([outcome]);
    });

    it('of older words changes nothing: the newer ones still wait', async () => {
      await write(message('m1'));
      await write(message('m1', { revision: 2, dueAtMs: NOW_MS + 4 }));
      const before = await storedMessage('m1');
      await settle(handedOver('m1', { revision: 1 }));
      expect(await storedMessage('m1')).toEqual(before);
      expect(await store.lastHandedOver()).toEqual([]);
      await settle(handedOver('m1', { revision: 2 }));
      expect(await dueIds(NOW_MS + 4)).toEqual([]);
    });

    it('that is none is refused, and none of those with it is kept', async () => {
      await write(message('m1'), message('m2'));
      const wrong = [{ attempts: -1 }, { dueAtMs: Number.NaN }, { handedOverAtMs: 0.5 }];
      for (const part of wrong) {
        await expectFailure(settle(handedOver('m1'), handedOver('m2', part)), 'STORE_BAD_INPUT');
      }
      expect(await dueIds(NOW_MS)).toEqual(['m1', 'm2']);
    });
  });

  describe('a page that is withdrawn', () => {
    const withdrawn = [
      { pageKey: 'page-2', why: 'answered' },
      { pageKey: 'never-sent', why: 'answered' },
    ];
    const withdraw = async (...messages: readonly NewMessage[]): Promise<void> => {
      const generation = (await store.alertingState())?.generation ?? 0;
      await store.commitAlerting(step(generation, { withdrawn, messages }));
    };
    const ofPage = { pageKey: 'page-2' } as const;

    it('has its waiting messages given up, and no others', async () => {
      const tried = { state: 'waiting', attempts: 3, handedOverAtMs: null } as const;
      await write(message('m1'), message('m2', ofPage), message('m3', ofPage));
      await write(message('m4', ofPage), message('m5', ofPage));
      const gone = handedOver('m4', { attempts: 2 });
      const lost = handedOver('m5', { state: 'given-up', handedOverAtMs: null, failure: 'gone' });
      await settle(handedOver('m3', { ...tried, failure: 'is down' }), gone, lost);
      await withdraw();
      expect(await dueIds(NOW_MS + 99)).toEqual(['m1']);
      const givenUp = { state: 'given-up', failure: 'answered' } as const;
      expect(await storedMessage('m2')).toEqual({
        ...message('m2', ofPage),
        ...WAITING,
        ...givenUp,
      });
      expect(await storedMessage('m3')).toMatchObject({ attempts: 3, ...givenUp });
      expect(await storedMessage('m4')).toEqual({ ...message('m4', ofPage), ...gone });
      expect(await storedMessage('m5')).toMatchObject({ state: 'given-up', failure: 'gone' });
    });

    it('does not wait again when a try that was under way fails', async () => {
      await write(message('m1', ofPage), message('m2', ofPage), message('m3', ofPage));
      await withdraw();
      const failed = { handedOverAtMs: null, failure: 'is down' } as const;
      await settle(
        handedOver('m1', { ...failed, state: 'waiting' }),
        handedOver('m2', { ...failed, state: 'given-up' }),
        handedOver('m3'),
      );
      expect(await dueIds(NOW_MS + 99)).toEqual([]);
      expect(await storedMessage('m1')).toMatchObject({ state: 'given-up', failure: 'answered' });
      expect(await storedMessage('m2')).toMatchObject({ state: 'given-up', failure: 'answered' });
      expect(await storedMessage('m3')).toMatchObject({ state: 'handed-over', failure: null });
    });

    it('waits with the words that the same step writes', async () => {
      await write(message('m1', ofPage));
      await withdraw(message('m1', { ...ofPage, revision: 2 }));
      expect(await dueIds(NOW_MS)).toEqual(['m1']);
    });
  });

  describe('a message that is written over', () => {
    it('waits anew with its new words and no attempt made', async () => {
      await write(message('m1'));
      await settle(handedOver('m1', { attempts: 4, failure: 'late' }));
      const newer: NewMessage = {
        id: 'm1',
        revision: 2,
        pageKey: 'page-2',
        person: null,
        contact: 'office-mail',
        channel: 'e-mail',
        words: ['other'],
        createdAtMs: NOW_MS + 1,
        dueAtMs: NOW_MS + 2,
        expiresAtMs: NOW_MS + 3,
      };
      await write(newer);
      expect((await store.messages(FIRST_PAGE)).items).toEqual([{ ...newer, ...WAITING }]);
      expect(await dueIds(NOW_MS + 2)).toEqual(['m1']);
    });
  });

  describe('the list of messages', () => {
    it('is newest first, ties by id, page by page', async () => {
      const times = [0, 1, 1, 1, 2, 0];
      const all = times.map((at, nth) => message(`m${nth}`, { createdAtMs: NOW_MS + at }));
      await write(...all);
      let added = 0;
      const walked = await everyItem(async (cursor) => {
        const page = await store.messages({ limit: 2, cursor });
        // Newer ones come meanwhile, and hide nothing.
        added += 1;
        await write(message(`new-${added}`, { createdAtMs: NOW_MS + 9 }));
        return page;
      });
      expect(walked.map(({ id }) => id)).toEqual(['m4', 'm3', 'm2', 'm1', 'm5', 'm0']);
      for (const page of ILLEGAL_PAGES) {
        await expectFailure(store.messages(page), 'STORE_BAD_INPUT');
      }
    });
  });

  describe('the last hand-over', () => {
    it('is the latest of each channel, and outlives its message', async () => {
      expect(await store.lastHandedOver()).toEqual([]);
      const mail = { channel: 'e-mail' } as const;
      await write(message('m1'), message('m2'), message('m3', mail), message('m4', mail));
      await settle(
        handedOver('m1', { handedOverAtMs: NOW_MS + 9 }),
        handedOver('m2', { handedOverAtMs: NOW_MS + 8 }),
        handedOver('m3', { handedOverAtMs: NOW_MS + 3 }),
        handedOver('m4', { state: 'given-up', handedOverAtMs: null }),
      );
      const last = [
        { channel: 'e-mail', atMs: NOW_MS + 3 },
        { channel: 'web-push', atMs: NOW_MS + 9 },
      ];
      expect(await store.lastHandedOver()).toEqual(last);
      await write(message('m1', { revision: 2 }));
      await store.forgetMessagesBefore(NOW_MS + 1);
      expect((await store.messages(FIRST_PAGE)).items.map(({ id }) => id)).toEqual(['m1']);
      expect(await store.lastHandedOver()).toEqual(last);
    });
  });

  describe('old messages', () => {
    it('are forgotten unless they wait', async () => {
      const old = { createdAtMs: NOW_MS - 1 };
      await write(
        message('m1', old),
        message('m2', old),
        message('m3', old),
        message('m4', { createdAtMs: NOW_MS }),
      );
      const lost = { state: 'given-up', handedOverAtMs: null } as const;
      await settle(handedOver('m1'), handedOver('m2', lost), handedOver('m4'));
      await store.forgetMessagesBefore(NOW_MS);
      const left = (await store.messages(FIRST_PAGE)).items.map(({ id }) => id);
      expect(left).toEqual(['m4', 'm3']);
    });
  });
}
