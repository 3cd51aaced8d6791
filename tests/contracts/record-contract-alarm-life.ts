import type { AlarmVerdict } from '@lineside/storage';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  everyItem,
  expectFailure,
  ILLEGAL_PAGES,
  type MakePlace,
  type RecordPlace,
} from './record-place.ts';
import { FIRST_PAGE, NOW_MS, SITE, UNIT } from './record-samples.ts';
import { hold, verdict } from './record-samples-alerting.ts';

const REF = { site: SITE, unit: UNIT };

/** What people say about units and alarms. */
export function recordAlarmLifeContract(make: MakePlace): void {
  let place: RecordPlace;
  beforeEach(async () => {
    place = await make();
  });
  afterEach(() => place.dispose());

  describe('a hold of a unit', () => {
    it('is kept as it was added, once', async () => {
      const { store } = place;
      const ended = { endedAtMs: NOW_MS + 1, endedBy: 'ana', kind: 'out-of-service' } as const;
      await store.addUnitHold(hold('h1'));
      await store.addUnitHold(hold('h2', ended));
      await expectFailure(store.addUnitHold(hold('h1', { owner: 'ana' })), 'STORE_CONFLICT');
      const { items } = await store.unitHolds({ ...REF, ...FIRST_PAGE });
      expect(items).toEqual([hold('h2', ended), hold('h1')]);
    });

    it('ends once, and says whether there is one', async () => {
      const { store } = place;
      await store.addUnitHold(hold('h1'));
      expect(await store.endUnitHold('h9', NOW_MS + 5, 'ana')).toBe(false);
      expect(await store.endUnitHold('h1', NOW_MS + 5, 'ana')).toBe(true);
      expect(await store.endUnitHold('h1', NOW_MS + 9, 'rosa')).toBe(true);
      const { items } = await store.unitHolds({ ...REF, ...FIRST_PAGE });
      expect(items).toEqual([hold('h1', { endedAtMs: NOW_MS + 5, endedBy: 'ana' })]);
    });

    it('that ran out by itself was ended by nobody', async () => {
      const { store } = place;
      await store.addUnitHold(hold('h1', { untilMs: NOW_MS + 5 }));
      expect(await store.endUnitHold('h1', NOW_MS + 5, 'ana')).toBe(true);
      const { items } = await store.unitHolds({ ...REF, ...FIRST_PAGE });
      expect(items).toEqual([hold('h1', { untilMs: NOW_MS + 5 })]);
    });

    it('that is none is refused', async () => {
      const { store } = place;
      for (const part of [{ fromMs: Number.NaN }, { untilMs: 0.5 }, { endedAtMs: 0.5 }]) {
        await expectFailure(store.addUnitHold(hold('h1', part)), 'STORE_BAD_INPUT');
      }
      await expectFailure(store.addUnitHold(hold('')), 'STORE_BAD_INPUT');
      expect(await store.unitHoldsAt(0)).toEqual([]);
    });
  });

  describe('holds at a time', () => {
    it('are those that are not over, begun or not, by site, unit and begin', async () => {
      const { store } = place;
      await store.addUnitHold(hold('later', { fromMs: NOW_MS + 30, untilMs: NOW_MS + 40 }));
      await store.addUnitHold(hold('now', { untilMs: NOW_MS + 20 }));
      await store.addUnitHold(hold('next-unit', { unit: 'rtu-02', fromMs: NOW_MS - 9 }));
      await store.addUnitHold(hold('first-site', { site: 'airport', fromMs: NOW_MS + 50 }));
      await store.addUnitHold(hold('ended'));
      await store.endUnitHold('ended', NOW_MS + 10, 'ana');
      const idsAt = async (nowMs: number) => (await store.unitHoldsAt(nowMs)).map(({ id }) => id);
      const all = ['first-site', 'ended', 'now', 'later', 'next-unit'];
      expect(await idsAt(NOW_MS + 9)).toEqual(all);
      expect(await idsAt(NOW_MS + 10)).toEqual(all.filter((id) => id !== 'ended'));
      expect(await idsAt(NOW_MS + 20)).toEqual(['first-site', 'later', 'next-unit']);
      expect((await store.unitHoldsAt(NOW_MS + 20))[1]).toEqual(
        hold('later', { fromMs: NOW_MS + 30, untilMs: NOW_MS + 40 }),
      );
    });
  });

  describe('the list of holds', () => {
    it('is of one unit, newest begin first, ties by id, page by page', async () => {
      const { store } = place;
      const times = [0, 1, 1, 1, 2];
      for (const [nth, at] of times.entries()) {
        await store.addUnitHold(hold(`h${nth}`, { fromMs: NOW_MS + at }));
      }
      await store.addUnitHold(hold('elsewhere', { unit: 'rtu-02' }));
      const walked = await everyItem((cursor) => store.unitHolds({ ...REF, limit: 2, cursor }));
      expect(walked.map(({ id }) => id)).toEqual(['h4', 'h3', 'h2', 'h1', 'h0']);
      for (const page of ILLEGAL_PAGES) {
        await expectFailure(store.unitHolds({ ...REF, ...page }), 'STORE_BAD_INPUT');
      }
    });
  });

  describe('a verdict', () => {
    it('is kept for each person, the newest first', async () => {
      const { store } = place;
      const doubt: Partial<AlarmVerdict> = { verdict: 'unclear', found: '', cause: null };
      const second = verdict('a1', { ...doubt, by: 'ana', atMs: NOW_MS + 1 });
      await store.setVerdict(verdict('a1'));
      await store.setVerdict(second);
      await store.setVerdict(verdict('a2'));
      expect(await store.verdictsOf('a1')).toEqual([second, verdict('a1')]);
      expect(await store.verdictsOf('a9')).toEqual([]);
    });

    it('replaces what the same person said of the alarm before', async () => {
      const { store } = place;
      const other = verdict('a1', { by: 'ana' });
      const later: AlarmVerdict = {
        ...verdict('a1'),
        verdict: 'false',
        found: 'dry',
        cause: null,
        atMs: NOW_MS + 5,
      };
      await store.setVerdict(verdict('a1'));
      await store.setVerdict(other);
      await store.setVerdict(verdict('a2'));
      await store.setVerdict(later);
      expect(await store.verdictsOf('a1')).toEqual([later, other]);
      expect((await store.verdicts(FIRST_PAGE)).items).toEqual([other, verdict('a2'), later]);
    });

    it('that is none is refused', async () => {
      const { store } = place;
      for (const wrong of [verdict('a1', { atMs: Number.NaN }), verdict('')]) {
        await expectFailure(store.setVerdict(wrong), 'STORE_BAD_INPUT');
      }
      expect((await store.verdicts(FIRST_PAGE)).items).toEqual([]);
    });
  });

  describe('the list of verdicts', () => {
    it('is oldest first, ties by alarm and person, page by page', async () => {
      const { store } = place;
      const said: readonly (readonly [string, string, number])[] = [
        ['a1', 'rosa', 3],
        ['a2', 'rosa', 1],
        ['a10', 'ana', 1],
        ['a1', 'ben', 1],
        ['a1', 'ana', 1],
        ['a3', 'ana', 0],
      ];
      for (const [alarmId, by, at] of said) {
        await store.setVerdict(verdict(alarmId, { by, atMs: NOW_MS + at }));
      }
      const walk = async (limit: number) =>
        (await everyItem((cursor) => store.verdicts({ limit, cursor }))).map(
          ({ alarmId, by }) => `${alarmId} ${by}`,
        );
      const sorted = ['a3 ana', 'a1 ana', 'a1 ben', 'a10 ana', 'a2 rosa', 'a1 rosa'];
      for (const limit of [1, 2, 100]) expect(await walk(limit)).toEqual(sorted);
      for (const page of ILLEGAL_PAGES) {
        await expectFailure(store.verdicts(page), 'STORE_BAD_INPUT');
      }
    });

    it('refuses the place of another list', async () => {
      const { store } = place;
      await store.setVerdict(verdict('a1'));
      await store.setVerdict(verdict('a2'));
      const { next } = await store.verdicts({ limit: 1, cursor: null });
      expect(next).not.toBeNull();
      await expectFailure(store.messages({ limit: 1, cursor: next }), 'STORE_BAD_INPUT');
    });
  });
}
