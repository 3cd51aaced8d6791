import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { expectFailure, type MakePlace, type RecordPlace } from './record-place.ts';
import { acknowledged, acted, changes, clearedAt, NOW_MS, raised } from './record-samples.ts';

/** Writing alarms and following their journal. */
export function recordAlarmContract(make: MakePlace): void {
  let place: RecordPlace;
  beforeEach(async () => {
    place = await make();
  });
  afterEach(() => place.dispose());

  describe('alarms and their journal', () => {
    it('come back as they were written, step by step', async () => {
      const { store } = place;
      const raise = raised({ id: 'a1' });
      const acknowledge = acknowledged(raise.alarm);
      await store.changeAlarms(changes(raise));
      expect(await store.alarm('a1')).toEqual(raise.alarm);
      await store.changeAlarms(changes(acknowledge));
      expect(await store.alarm('a1')).toEqual(acknowledge.alarm);
      const journal = await store.journalOf('a1');
      expect(journal.map(({ sequence, ...entry }) => entry)).toEqual([raise, acknowledge]);
      expect(await store.journalAfter(0, 10)).toEqual(journal);
      expect(await store.journalEnd()).toBe(journal[1]?.sequence);
    });

    it('are not there before they are written', async () => {
      const { store } = place;
      expect(await store.alarm('a1')).toBeNull();
      expect(await store.journalOf('a1')).toEqual([]);
      expect(await store.journalAfter(0, 1)).toEqual([]);
      expect(await store.journalEnd()).toBe(0);
      await store.changeAlarms([]);
      expect(await store.journalEnd()).toBe(0);
    });

    it('take several entries of one alarm in one write', async () => {
      const { store } = place;
      const raise = raised({ id: 'a1' });
      const acknowledge = acknowledged(raise.alarm);
      const clear = clearedAt(acknowledge.alarm, NOW_MS + 5);
      await store.changeAlarms(changes(raise, acknowledge, clear));
      expect(await store.alarm('a1')).toEqual(clear.alarm);
      expect((await store.journalOf('a1')).map(({ event }) => event)).toEqual([
        'raise',
        'acknowledge',
        'clear',
      ]);
    });

    it('keep nothing of a write when one alarm in it has changed meanwhile', async () => {
      const { store } = place;
      const raise = raised({ id: 'a1' });
      await store.changeAlarms(changes(raise));
      await store.changeAlarms(changes(acknowledged(raise.alarm)));
      const before = await store.journalAfter(0, 10);
      const other = raised({ id: 'a2', kind: 'moisture' });
      const stale = clearedAt(raise.alarm, NOW_MS + 5);
      await expectFailure(store.changeAlarms(changes(other, stale)), 'STORE_CONFLICT');
      expect(await store.alarm('a2')).toBeNull();
      expect(await store.alarm('a1')).toMatchObject({ state: 'acknowledged', revision: 2 });
      expect(await store.journalAfter(0, 10)).toEqual(before);
    });

    it('begin with revision 1 and leave none out', async () => {
      const { store } = place;
      const raise = raised({ id: 'a1' });
      const acknowledge = acknowledged(raise.alarm);
      await expectFailure(store.changeAlarms(changes(acknowledge)), 'STORE_CONFLICT');
      await store.changeAlarms(changes(raise));
      await expectFailure(store.changeAlarms(changes(raise)), 'STORE_CONFLICT');
      const clear = clearedAt(acknowledge.alarm, NOW_MS + 5);
      await expectFailure(store.changeAlarms(changes(clear)), 'STORE_CONFLICT');
      expect(await store.journalAfter(0, 10)).toHaveLength(1);
    });

    it('let one alarm of a unit and kind stand, and another once it has cleared', async () => {
      const { store } = place;
      const raise = raised({ id: 'a1' });
      await store.changeAlarms(changes(raise));
      const second = raised({ id: 'a2', atMs: NOW_MS + 1 });
      await expectFailure(store.changeAlarms(changes(second)), 'STORE_CONFLICT');
      const elsewhere = raised({ id: 'a3', unit: 'rtu-02' });
      const otherKind = raised({ id: 'a4', kind: 'moisture' });
      await store.changeAlarms(changes(elsewhere, otherKind));
      await store.changeAlarms(changes(clearedAt(raise.alarm, NOW_MS + 1), second));
      expect(await store.alarm('a2')).toEqual(second.alarm);
    });

    it('let one of two programs win that change the same alarm at once', async () => {
      const { store } = place;
      const other = await place.another();
      const raise = raised({ id: 'a1' });
      await store.changeAlarms(changes(raise));
      const results = await Promise.allSettled([
        store.changeAlarms(changes(acknowledged(raise.alarm, 'rosa'))),
        other.changeAlarms(changes(acknowledged(raise.alarm, 'emil'))),
      ]);
      expect(results.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected']);
      const failed = results.find((one) => one.status === 'rejected');
      expect(failed?.reason).toMatchObject({ code: 'STORE_CONFLICT' });
      expect(await other.alarm('a1')).toEqual(await store.alarm('a1'));
      expect(await store.journalOf('a1')).toHaveLength(2);
    });

    it('are journalled in the order of commits, whoever writes', async () => {
      const other = await place.another();
      const writers = [place.store, other];
      for (let count = 0; count < 20; count++) {
        const raise = raised({ id: `a${count}`, unit: `rtu-${count}`, atMs: NOW_MS - count });
        await writers[count % 2]?.changeAlarms(changes(raise));
      }
      const journal = await place.store.journalAfter(0, 1_000);
      expect(journal.map(({ alarm }) => alarm.id)).toEqual(
        Array.from({ length: 20 }, (_, count) => `a${count}`),
      );
      for (const [index, { sequence }] of journal.entries()) {
        expect(sequence).toBeGreaterThan(journal[index - 1]?.sequence ?? 0);
      }
      const half = journal[9]?.sequence ?? 0;
      expect(await other.journalAfter(half, 4)).toEqual(journal.slice(10, 14));
      expect(await other.journalEnd()).toBe(journal.at(-1)?.sequence);
    });

    it('refuse what is no alarm, and keep nothing of it', async () => {
      const { store } = place;
      const good = raised({ id: 'good' });
      const raise = raised({ id: 'a1', kind: 'moisture' });
      const shelf = { type: 'shelve', untilMs: NOW_MS + 1, reason: 'booked' } as const;
      const broken = [
        { ...raise, alarm: { ...raise.alarm, id: '' } },
        { ...raise, alarm: { ...raise.alarm, id: 'x'.repeat(65) } },
        { ...raise, alarm: { ...raise.alarm, raisedAtMs: Number.NaN } },
        { ...raise, alarm: { ...raise.alarm, raisedAtMs: 0.5 } },
        { ...raise, atMs: Number.POSITIVE_INFINITY },
      ];
      for (const entry of broken) {
        await expectFailure(store.changeAlarms(changes(good, entry)), 'STORE_BAD_INPUT');
      }
      expect(await store.journalEnd()).toBe(0);
      await store.changeAlarms(changes(good, acted(good.alarm, shelf)));
      expect(await store.alarm('good')).toMatchObject({ shelvedUntilMs: NOW_MS + 1 });
    });

    it('refuse illegal places in the journal', async () => {
      const { store } = place;
      for (const sequence of [-1, 0.5, Number.NaN]) {
        await expectFailure(store.journalAfter(sequence, 10), 'STORE_BAD_INPUT');
      }
      for (const limit of [0, 1_001, 2.5]) {
        await expectFailure(store.journalAfter(0, limit), 'STORE_BAD_INPUT');
      }
    });
  });
}
