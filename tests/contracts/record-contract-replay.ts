import type { RecordStore } from '@lineside/storage';
import { SNAPSHOTS_NEWEST, SNAPSHOTS_WEEKS } from '@lineside/storage';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { expectFailure, type MakePlace, type RecordPlace } from './record-place.ts';
import {
  acknowledged,
  changes,
  clearedAt,
  episode,
  FIRST_PAGE,
  NOW_MS,
  raised,
  SITE,
  snapshot,
  UNIT,
  withdrawn,
} from './record-samples.ts';

const REF = { site: SITE, unit: UNIT };
const OTHER = { site: SITE, unit: 'rtu-02' };
const NOTHING = { checkpoints: [], alarms: [], episodes: [] };
const DAY_MS = 86_400_000;

/** What judging anew starts from and replaces. */
export function recordReplayContract(make: MakePlace): void {
  let place: RecordPlace;
  beforeEach(async () => {
    place = await make();
  });
  afterEach(() => place.dispose());

  describe('alarms since a time', () => {
    it('are those that stand or cleared at it or later, oldest first', async () => {
      const { store } = place;
      const early = raised({ id: 'early', atMs: NOW_MS });
      const end = clearedAt(early.alarm, NOW_MS + 10);
      const gone = raised({ id: 'gone', atMs: NOW_MS + 20 });
      const late = raised({ id: 'late', atMs: NOW_MS + 30 });
      const moisture = raised({ id: 'b', kind: 'moisture', atMs: NOW_MS + 5 });
      const silent = raised({ id: 'a', kind: 'silent', atMs: NOW_MS + 5 });
      const elsewhere = raised({ id: 'elsewhere', unit: OTHER.unit });
      const back = withdrawn(gone.alarm, NOW_MS + 25);
      const all = [early, end, gone, back, late, moisture, silent, elsewhere];
      await store.changeAlarms(changes(...all));
      const idsSince = async (sinceMs: number): Promise<readonly string[]> =>
        (await store.alarmsSince(REF, sinceMs)).map(({ id }) => id);
      expect(await idsSince(NOW_MS + 10)).toEqual(['early', 'a', 'b', 'late']);
      expect(await idsSince(NOW_MS + 11)).toEqual(['a', 'b', 'late']);
      expect((await store.alarmsSince(REF, NOW_MS))[0]).toEqual(end.alarm);
      expect(await store.alarmsSince({ ...REF, unit: 'rtu-99' }, 0)).toEqual([]);
    });
  });

  describe('a withdrawn alarm', () => {
    it('is found by its id and lets another of its kind stand', async () => {
      const { store } = place;
      const raise = raised({ id: 'a1' });
      const seen = acknowledged(raise.alarm);
      const back = withdrawn(seen.alarm);
      const next = raised({ id: 'a2', atMs: NOW_MS + 1 });
      await store.changeAlarms(changes(raise, seen, back, next));
      expect(await store.alarm('a1')).toEqual(back.alarm);
      expect(await store.alarm('a1')).toMatchObject({ withdrawn: true, acknowledgedBy: 'rosa' });
      expect((await store.alarms(FIRST_PAGE)).items).toEqual([next.alarm]);
      expect((await store.journalOf('a1')).map(({ event }) => event)).toEqual([
        'raise',
        'acknowledge',
        'withdraw',
      ]);
    });

    it('leaves the place of the newest to the one before', async () => {
      const { store } = place;
      const raise = raised({ id: 'a1' });
      const end = clearedAt(raise.alarm, NOW_MS + 1);
      const next = raised({ id: 'a2', atMs: NOW_MS + 2 });
      await store.changeAlarms(changes(raise, end, next));
      expect(await store.newestAlarms(REF)).toEqual([next.alarm]);
      await store.changeAlarms(changes(withdrawn(next.alarm)));
      expect(await store.newestAlarms(REF)).toEqual([end.alarm]);
      expect(await store.openAlarms()).toEqual([end.alarm]);
      await store.changeAlarms(changes(withdrawn(end.alarm)));
      expect(await store.newestAlarms(REF)).toEqual([]);
      expect(await store.openAlarms()).toEqual([]);
    });
  });

  markContract(() => place.store);
  snapshotContract(() => place.store);
  settingsContract(() => place.store);
}

function markContract(storeNow: () => RecordStore): void {
  describe('marks of dirty units', () => {
    it('are lowered, never raised, and count each marking', async () => {
      const store = storeNow();
      expect(await store.dirtyUnits()).toEqual([]);
      await store.markDirty([
        { ...OTHER, fromMs: NOW_MS },
        { ...REF, fromMs: NOW_MS },
      ]);
      await store.markDirty([{ ...REF, fromMs: NOW_MS + 5 }]);
      await store.markDirty([{ ...OTHER, fromMs: NOW_MS - 5 }]);
      expect(await store.dirtyUnits()).toEqual([
        { ...REF, fromMs: NOW_MS, generation: 2 },
        { ...OTHER, fromMs: NOW_MS - 5, generation: 2 },
      ]);
      await store.markDirty([]);
      await store.markDirty([REF, REF].map((ref) => ({ ...ref, fromMs: 0 })));
      expect((await store.dirtyUnits())[0]).toEqual({ ...REF, fromMs: 0, generation: 4 });
    });

    it('go with the judgement that knew the newest of them', async () => {
      const store = storeNow();
      await store.markDirty([{ ...REF, fromMs: NOW_MS }]);
      await store.markDirty([{ ...REF, fromMs: NOW_MS + 1 }]);
      const judged = (generation: number | null) =>
        store.commitJudgement({
          ...NOTHING,
          rejudged: [{ ...REF, sinceMs: NOW_MS, generation }],
        });
      await judged(1);
      await judged(null);
      await store.commitJudgement(NOTHING);
      expect(await store.dirtyUnits()).toEqual([{ ...REF, fromMs: NOW_MS, generation: 2 }]);
      await judged(2);
      expect(await store.dirtyUnits()).toEqual([]);
      await judged(2);
      await store.markDirty([{ ...REF, fromMs: NOW_MS + 9 }]);
      expect(await store.dirtyUnits()).toEqual([{ ...REF, fromMs: NOW_MS + 9, generation: 3 }]);
      await judged(2);
      expect(await store.dirtyUnits()).toHaveLength(1);
    });

    it('stay when the judgement is refused', async () => {
      const store = storeNow();
      const raise = raised({ id: 'a1' });
      await store.changeAlarms(changes(raise));
      await store.markDirty([{ ...REF, fromMs: NOW_MS }]);
      await store.commitJudgement({ ...NOTHING, snapshots: [snapshot(NOW_MS)] });
      const judgement = {
        ...NOTHING,
        alarms: changes(raise),
        snapshots: [snapshot(NOW_MS + 5)],
        rejudged: [{ ...REF, sinceMs: 0, generation: 1 }],
      };
      await expectFailure(store.commitJudgement(judgement), 'STORE_CONFLICT');
      expect(await store.dirtyUnits()).toHaveLength(1);
      expect(await store.snapshotTimes(REF)).toEqual([NOW_MS]);
    });

    it('refuse times that are none, all of one call', async () => {
      const store = storeNow();
      for (const fromMs of [Number.NaN, 0.5, Number.NEGATIVE_INFINITY]) {
        const marks = [
          { ...OTHER, fromMs: NOW_MS },
          { ...REF, fromMs },
        ];
        await expectFailure(store.markDirty(marks), 'STORE_BAD_INPUT');
      }
      expect(await store.dirtyUnits()).toEqual([]);
    });
  });
}

function snapshotContract(storeNow: () => RecordStore): void {
  describe('snapshots', () => {
    it('come back as they were, the newest before a time', async () => {
      const store = storeNow();
      expect(await store.snapshotBefore(REF, NOW_MS)).toBeNull();
      expect(await store.snapshotTimes(REF)).toEqual([]);
      const snapshots = [snapshot(NOW_MS), snapshot(NOW_MS - 9), snapshot(NOW_MS, OTHER.unit)];
      await store.commitJudgement({ ...NOTHING, snapshots });
      expect(await store.snapshotTimes(REF)).toEqual([NOW_MS - 9, NOW_MS]);
      expect(await store.snapshotBefore(REF, NOW_MS + 1)).toEqual(snapshot(NOW_MS));
      expect(await store.snapshotBefore(REF, NOW_MS)).toEqual(snapshot(NOW_MS - 9));
      expect(await store.snapshotBefore(REF, NOW_MS - 9)).toBeNull();
      const anew = { ...snapshot(NOW_MS), state: null };
      await store.commitJudgement({ ...NOTHING, snapshots: [anew] });
      expect(await store.snapshotBefore(REF, NOW_MS + 1)).toEqual(anew);
      expect(await store.snapshotBefore(OTHER, NOW_MS + 1)).toEqual(snapshots[2]);
    });

    it('and episodes of what is judged anew are forgotten, before what is new is written', async () => {
      const store = storeNow();
      const kept = episode(NOW_MS, NOW_MS + 9);
      await store.commitJudgement({
        ...NOTHING,
        snapshots: [0, 1, 2].map((at) => snapshot(NOW_MS + at)).concat(snapshot(NOW_MS + 2, 'x')),
        episodes: [kept, episode(NOW_MS + 1, NOW_MS + 2), episode(NOW_MS + 4, null, 'x')],
      });
      await store.commitJudgement({
        ...NOTHING,
        snapshots: [snapshot(NOW_MS + 7)],
        episodes: [episode(NOW_MS + 3, null)],
        rejudged: [{ ...REF, sinceMs: NOW_MS, generation: null }],
      });
      expect(await store.snapshotTimes(REF)).toEqual([NOW_MS, NOW_MS + 7]);
      const page = await store.episodes({ ...REF, ...FIRST_PAGE });
      expect(page.items).toEqual([episode(NOW_MS + 3, null), kept]);
      expect(await store.snapshotTimes({ ...REF, unit: 'x' })).toEqual([NOW_MS + 2]);
      const others = await store.episodes({ ...REF, unit: 'x', ...FIRST_PAGE });
      expect(others.items).toHaveLength(1);
    });

    it('are thinned to the newest, and the newest of each week before them', async () => {
      const store = storeNow();
      let count = 0;
      const days = fc.uniqueArray(fc.integer({ min: 0, max: 130 * 4 }), {
        minLength: 1,
        maxLength: 80,
        size: 'max',
      });
      await fc.assert(
        fc.asyncProperty(days, async (quarterDays) => {
          count += 1;
          const unit = `rtu-${count}`;
          const times = quarterDays.map((quarters) => NOW_MS + (quarters * DAY_MS) / 4);
          const snapshots = times.map((timeMs) => snapshot(timeMs, unit));
          await store.commitJudgement({ ...NOTHING, snapshots });
          const expected = keptTimes(times);
          expect(await store.snapshotTimes({ ...REF, unit })).toEqual(expected);
          const oldest = await store.snapshotBefore({ ...REF, unit }, (expected[0] ?? 0) + 1);
          expect(oldest).toEqual(snapshot(expected[0] ?? 0, unit));
        }),
        { numRuns: 30 },
      );
    });

    it('begin their weeks on Monday', async () => {
      const store = storeNow();
      const sunday = Date.UTC(2026, 0, 4, 23, 59, 59, 999);
      const newest = Array.from({ length: SNAPSHOTS_NEWEST }, (_, at) => NOW_MS + at);
      const times = [sunday - DAY_MS, sunday, sunday + 1, sunday + DAY_MS, ...newest];
      const snapshots = times.map((timeMs) => snapshot(timeMs));
      await store.commitJudgement({ ...NOTHING, snapshots });
      expect(await store.snapshotTimes(REF)).toEqual([sunday, sunday + DAY_MS, ...newest]);
    });

    it('refuse what is none', async () => {
      const store = storeNow();
      for (const broken of [{ throughMs: Number.NaN }, { throughMs: 0.5 }, { state: undefined }]) {
        const snapshots = [{ ...snapshot(NOW_MS), ...broken }];
        await expectFailure(store.commitJudgement({ ...NOTHING, snapshots }), 'STORE_BAD_INPUT');
      }
      expect(await store.snapshotTimes(REF)).toEqual([]);
    });
  });
}

/** The rule of the port, week by week. */
function keptTimes(times: readonly number[]): readonly number[] {
  const sorted = [...times].sort((a, b) => a - b);
  const older = sorted.slice(0, -SNAPSHOTS_NEWEST);
  const byMonday = new Map(older.map((timeMs) => [mondayOf(timeMs), timeMs]));
  return [...[...byMonday.values()].slice(-SNAPSHOTS_WEEKS), ...sorted.slice(-SNAPSHOTS_NEWEST)];
}

function mondayOf(timeMs: number): string {
  const date = new Date(timeMs);
  date.setUTCDate(date.getUTCDate() - ((date.getUTCDay() + 6) % 7));
  return date.toISOString().slice(0, 10);
}

function settingsContract(storeNow: () => RecordStore): void {
  describe('versions of settings', () => {
    it('are kept by unit and time, the later of two with the same', async () => {
      const store = storeNow();
      expect(await store.settingsVersions()).toEqual([]);
      const first = { ...REF, fromMs: NOW_MS, settings: { limits: { leakage: [5, 10] } } };
      const before = { ...REF, fromMs: 0, settings: 'none' };
      const other = { ...OTHER, fromMs: NOW_MS, settings: null };
      await store.addSettingsVersions([other, first, before]);
      expect(await store.settingsVersions()).toEqual([before, first, other]);
      const again = { ...first, settings: { limits: null } };
      await store.addSettingsVersions([again]);
      expect(await store.settingsVersions()).toEqual([before, again, other]);
      await store.addSettingsVersions([]);
      const broken = { ...REF, fromMs: 1, settings: undefined };
      await expectFailure(store.addSettingsVersions([first, broken]), 'STORE_BAD_INPUT');
      expect(await store.settingsVersions()).toEqual([before, again, other]);
    });
  });
}
