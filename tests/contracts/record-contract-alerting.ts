import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { expectFailure, type MakePlace, type RecordPlace } from './record-place.ts';
import { FIRST_PAGE, NOW_MS } from './record-samples.ts';
import { handedOver, link, message, step } from './record-samples-alerting.ts';

/** Where alerting stands, step by step, and the links to its pages. */
export function recordAlertingContract(make: MakePlace): void {
  let place: RecordPlace;
  beforeEach(async () => {
    place = await make();
  });
  afterEach(() => place.dispose());

  describe('the state of alerting', () => {
    it('is null at first, and then what the newest step left', async () => {
      const { store } = place;
      expect(await store.alertingState()).toBeNull();
      const paging = { pages: [{ key: 'page-1', words: 'Überprüfen', none: null }] };
      await store.commitAlerting(step(0, { journalThrough: 7, paging }));
      const first = { generation: 1, journalThrough: 7, paging, asks: [] };
      expect(await store.alertingState()).toEqual(first);
      await store.commitAlerting(step(1, { journalThrough: 7, paging: [1.5] }));
      expect(await store.alertingState()).toEqual({ ...first, generation: 2, paging: [1.5] });
    });

    it('keeps asks until they are written over or forgotten', async () => {
      const { store } = place;
      const asks = ['a3', 'a1', 'a2'].map((alarmId) => ({ alarmId, ask: { stage: 1, alarmId } }));
      await store.commitAlerting(step(0, { asks }));
      const again = [{ alarmId: 'a2', ask: { stage: 2 } }];
      await store.commitAlerting(step(1, { asks: again, forgotten: ['a3', 'never-asked'] }));
      await store.commitAlerting(step(2));
      const state = await store.alertingState();
      expect(state?.asks).toEqual([
        { alarmId: 'a1', ask: { stage: 1, alarmId: 'a1' } },
        { alarmId: 'a2', ask: { stage: 2 } },
      ]);
    });

    it('takes thousands of asks, a big document and hundreds of messages at once', async () => {
      const { store } = place;
      const paging = { pages: Array.from({ length: 1_000 }, () => 'x'.repeat(1_000)) };
      const asks = Array.from({ length: 2_000 }, (_, at) => ({ alarmId: `a${at}`, ask: { at } }));
      const messages = Array.from({ length: 500 }, (_, at) => message(`m${at}`));
      await store.commitAlerting(step(0, { paging, asks, messages }));
      const state = await store.alertingState();
      expect(state?.paging).toEqual(paging);
      expect(state?.asks).toHaveLength(2_000);
      expect(await store.messagesDue(NOW_MS, 1_000)).toHaveLength(500);
    });
  });

  describe('a step of alerting', () => {
    it('that is based on another generation is a conflict, and nothing of it stays', async () => {
      const { store } = place;
      const full = (basedOn: number) =>
        step(basedOn, {
          journalThrough: 99,
          paging: 'other',
          asks: [{ alarmId: 'a2', ask: {} }],
          forgotten: ['a1'],
          withdrawn: [{ pageKey: 'page-1', why: 'answered' }],
          messages: [message('m2')],
          links: [link('l2')],
        });
      await expectFailure(store.commitAlerting(full(1)), 'STORE_CONFLICT');
      expect(await store.alertingState()).toBeNull();
      await store.commitAlerting(step(0, { asks: [{ alarmId: 'a1', ask: 1 }] }));
      const before = await store.alertingState();
      for (const wrong of [0, 2, -1]) {
        await expectFailure(store.commitAlerting(full(wrong)), 'STORE_CONFLICT');
      }
      expect(await store.alertingState()).toEqual(before);
      expect((await store.messages(FIRST_PAGE)).items).toEqual([]);
      expect(await store.pageLink('l2')).toBeNull();
    });

    it('of two programs at once is taken from one', async () => {
      const other = await place.another();
      const steps = [place.store, other].map((store, at) =>
        store.commitAlerting(step(0, { messages: [message(`m${at}`)] })),
      );
      const outcomes = await Promise.allSettled(steps);
      expect(outcomes.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected']);
      expect(await other.alertingState()).toMatchObject({ generation: 1 });
      expect((await place.store.messages(FIRST_PAGE)).items).toHaveLength(1);
    });

    it('with something that is no record is refused whole', async () => {
      const { store } = place;
      const broken = [
        { messages: [message('m1'), message('not an id')] },
        { messages: [message('m1'), message('x'.repeat(129))] },
        { messages: [message('m1'), message('m2', { pageKey: 'Page_1' })] },
        { messages: [message('m1'), message('m2', { dueAtMs: Number.NaN })] },
        { messages: [message('m1'), message('m2', { words: undefined })] },
        { messages: [message('m1')], links: [link('')] },
        { messages: [message('m1')], links: [link('l1', { expiresAtMs: 0.5 })] },
        { messages: [message('m1')], asks: [{ alarmId: 'a1', ask: undefined }] },
        { messages: [message('m1')], paging: undefined },
        { messages: [message('m1')], journalThrough: -1 },
      ];
      for (const part of broken) {
        await expectFailure(store.commitAlerting(step(0, part)), 'STORE_BAD_INPUT');
      }
      expect(await store.alertingState()).toBeNull();
      expect((await store.messages(FIRST_PAGE)).items).toEqual([]);
    });
  });

  describe('a link to a page', () => {
    it('is unknown or as it was written, bound to no device', async () => {
      const { store } = place;
      await store.commitAlerting(step(0, { links: [link('l1'), link('l2', { person: null })] }));
      expect(await store.pageLink('l1')).toEqual({ ...link('l1'), deviceHash: null });
      expect(await store.pageLink('l2')).toMatchObject({ person: null });
      expect(await store.pageLink('l3')).toBeNull();
    });

    it('belongs to the first device that presses a button', async () => {
      const { store } = place;
      const other = await place.another();
      await store.commitAlerting(step(0, { links: [link('l1')] }));
      expect(await store.bindPageLink('l1', 'phone', NOW_MS)).toBe('phone');
      expect(await other.bindPageLink('l1', 'tablet', NOW_MS)).toBe('phone');
      expect(await other.pageLink('l1')).toMatchObject({ deviceHash: 'phone' });
    });

    it('belongs to one of two devices that press at once', async () => {
      const other = await place.another();
      await place.store.commitAlerting(step(0, { links: [link('l1')] }));
      const bound = await Promise.all([
        place.store.bindPageLink('l1', 'phone', NOW_MS),
        other.bindPageLink('l1', 'tablet', NOW_MS),
      ]);
      const { deviceHash } = (await other.pageLink('l1')) ?? {};
      expect(['phone', 'tablet']).toContain(deviceHash);
      expect(bound).toEqual([deviceHash, deviceHash]);
    });

    it('that is unknown or expired binds nothing', async () => {
      const { store } = place;
      const { expiresAtMs } = link('l1');
      await store.commitAlerting(step(0, { links: [link('l1')] }));
      expect(await store.bindPageLink('l9', 'phone', NOW_MS)).toBeNull();
      expect(await store.pageLink('l9')).toBeNull();
      expect(await store.bindPageLink('l1', 'phone', expiresAtMs)).toBeNull();
      expect(await store.pageLink('l1')).toMatchObject({ deviceHash: null });
      expect(await store.bindPageLink('l1', 'phone', expiresAtMs - 1)).toBe('phone');
      expect(await store.bindPageLink('l1', 'phone', expiresAtMs)).toBeNull();
    });

    it('keeps its device when it is written over', async () => {
      const { store } = place;
      await store.commitAlerting(step(0, { links: [link('l1')] }));
      await store.bindPageLink('l1', 'phone', NOW_MS);
      const later = link('l1', {
        pageKey: 'page-2',
        person: 'rosa',
        alarmIds: ['a3'],
        createdAtMs: NOW_MS + 1,
        expiresAtMs: NOW_MS + 2,
      });
      await store.commitAlerting(step(1, { links: [later] }));
      expect(await store.pageLink('l1')).toEqual({ ...later, deviceHash: 'phone' });
    });

    it('is forgotten when it expired before the time that is asked for', async () => {
      const { store } = place;
      const links = [1, 2, 3].map((at) => link(`l${at}`, { expiresAtMs: NOW_MS + at }));
      await store.commitAlerting(step(0, { links, messages: [message('m1')] }));
      await store.settleMessages([handedOver('m1')]);
      await store.forgetMessagesBefore(NOW_MS + 2);
      const left = await Promise.all(links.map(({ id }) => store.pageLink(id)));
      expect(left.map((one) => one?.id ?? null)).toEqual([null, 'l2', 'l3']);
    });
  });
}
