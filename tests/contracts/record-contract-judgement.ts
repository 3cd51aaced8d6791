import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  everyItem,
  expectFailure,
  ILLEGAL_PAGES,
  type MakePlace,
  type RecordPlace,
} from './record-place.ts';
import {
  changes,
  episode,
  FIRST_PAGE,
  MINUTE_MS,
  NOW_MS,
  raised,
  SITE,
  service,
  UNIT,
} from './record-samples.ts';

const REF = { site: SITE, unit: UNIT };
const NOTHING = { checkpoints: [], alarms: [], episodes: [] };

/** The fleet, judgements and service records. */
export function recordJudgementContract(make: MakePlace): void {
  let place: RecordPlace;
  beforeEach(async () => {
    place = await make();
  });
  afterEach(() => place.dispose());

  describe('the fleet document', () => {
    it('is null at first and then what was saved last', async () => {
      const { store } = place;
      expect(await store.loadFleet()).toBeNull();
      await store.saveFleet({ sites: [] });
      const document = { sites: [{ id: SITE, name: 'Hafen "Süd"', units: [{ id: UNIT }] }] };
      await store.saveFleet(document);
      expect(await store.loadFleet()).toEqual(document);
      await expectFailure(store.saveFleet(undefined), 'STORE_BAD_INPUT');
      expect(await store.loadFleet()).toEqual(document);
    });
  });

  describe('a judgement', () => {
    it('is kept whole: checkpoints, alarms and episodes', async () => {
      const { store } = place;
      const raise = raised({ id: 'a1' });
      const checkpoint = { ...REF, judgedThroughMs: NOW_MS, state: { version: 1, sums: [1.5] } };
      await store.commitJudgement({
        checkpoints: [checkpoint],
        alarms: changes(raise),
        episodes: [episode(NOW_MS, null)],
      });
      expect(await store.checkpoints()).toEqual([checkpoint]);
      expect(await store.alarm('a1')).toEqual(raise.alarm);
      const page = await store.episodes({ ...REF, ...FIRST_PAGE });
      expect(page).toEqual({ items: [episode(NOW_MS, null)], next: null });
      await store.commitJudgement(NOTHING);
      expect(await store.checkpoints()).toEqual([checkpoint]);
    });

    it('writes over the checkpoint of a unit and the episode with the same start', async () => {
      const { store } = place;
      const first = { ...REF, judgedThroughMs: NOW_MS, state: [1] };
      const second = { ...REF, judgedThroughMs: NOW_MS + 1, state: [2] };
      const other = { ...REF, unit: 'rtu-02', judgedThroughMs: NOW_MS, state: null };
      const going = episode(NOW_MS, null);
      const ended = episode(NOW_MS, NOW_MS + 9);
      await store.commitJudgement({ ...NOTHING, checkpoints: [first, other], episodes: [going] });
      await store.commitJudgement({ ...NOTHING, checkpoints: [second], episodes: [ended] });
      expect(await store.checkpoints()).toEqual([second, other]);
      expect((await store.episodes({ ...REF, ...FIRST_PAGE })).items).toEqual([ended]);
    });

    it('keeps nothing when one alarm in it has changed meanwhile', async () => {
      const { store } = place;
      const raise = raised({ id: 'a1' });
      await store.changeAlarms(changes(raise));
      const judgement = {
        checkpoints: [{ ...REF, judgedThroughMs: NOW_MS, state: {} }],
        alarms: changes(raised({ id: 'a2', kind: 'moisture' }), raise),
        episodes: [episode(NOW_MS, null)],
      };
      await expectFailure(store.commitJudgement(judgement), 'STORE_CONFLICT');
      expect(await store.checkpoints()).toEqual([]);
      expect(await store.alarm('a2')).toBeNull();
      expect(await store.journalAfter(0, 10)).toHaveLength(1);
      expect((await store.episodes({ ...REF, ...FIRST_PAGE })).items).toEqual([]);
    });

    it('keeps nothing when a part of it is no such thing', async () => {
      const { store } = place;
      const alarms = changes(raised({ id: 'a1' }));
      for (const broken of [
        { checkpoints: [{ ...REF, judgedThroughMs: NOW_MS, state: undefined }] },
        { checkpoints: [{ ...REF, judgedThroughMs: Number.NaN, state: {} }] },
        { episodes: [episode(Number.NaN, null)] },
        { episodes: [episode(0.5, null)] },
      ]) {
        const judgement = { ...NOTHING, alarms, ...broken };
        await expectFailure(store.commitJudgement(judgement), 'STORE_BAD_INPUT');
      }
      expect(await store.alarm('a1')).toBeNull();
      expect(await store.journalEnd()).toBe(0);
      expect(await store.checkpoints()).toEqual([]);
    });
  });

  describe('episodes', () => {
    it('are listed newest first where they overlap the span, in pages of any size', async () => {
      const { store } = place;
      const all = Array.from({ length: 20 }, (_, index) => {
        const startMs = NOW_MS + index * 10 * MINUTE_MS;
        return episode(startMs, index === 19 ? null : startMs + ((index % 4) + 1) * MINUTE_MS);
      });
      const elsewhere = episode(NOW_MS, null, 'rtu-02');
      await store.commitJudgement({ ...NOTHING, episodes: [...all, elsewhere] });
      const timeMs = fc.integer({ min: -5, max: 210 }).map((at) => NOW_MS + at * MINUTE_MS);
      const span = fc.record({ fromMs: timeMs, toMs: timeMs }, { requiredKeys: [] });
      await fc.assert(
        fc.asyncProperty(span, fc.integer({ min: 1, max: 25 }), async (bounds, limit) => {
          const { fromMs = -Infinity, toMs = Infinity } = bounds;
          const found = await everyItem((cursor) =>
            store.episodes({ ...REF, ...bounds, limit, cursor }),
          );
          const expected = all.filter(
            ({ episode: { startMs, endMs } }) =>
              startMs < toMs && (endMs === null || endMs > fromMs),
          );
          expect(found).toEqual(expected.reverse());
        }),
        { numRuns: 40 },
      );
      for (const page of ILLEGAL_PAGES) {
        await expectFailure(store.episodes({ ...REF, ...page }), 'STORE_BAD_INPUT');
      }
    });
  });

  describe('episodes of all units', () => {
    it('are those that start within the span, newest first, of the sites asked for', async () => {
      const { store } = place;
      const all = Array.from({ length: 30 }, (_, index) => {
        const one = episode(NOW_MS + (index % 10) * MINUTE_MS, null, `rtu-0${index % 3}`);
        return index % 2 === 0 ? one : { ...one, site: 'other-site' };
      });
      await store.commitJudgement({ ...NOTHING, episodes: all });
      const minute = fc.integer({ min: -2, max: 12 }).map((at) => NOW_MS + at * MINUTE_MS);
      const sites = fc.option(fc.subarray([SITE, 'other-site', 'nowhere']), { nil: undefined });
      await fc.assert(
        fc.asyncProperty(minute, minute, sites, async (fromMs, toMs, asked) => {
          const query = { fromMs, toMs, ...(asked === undefined ? {} : { sites: asked }) };
          const expected = all
            .filter(({ episode: { startMs } }) => startMs >= fromMs && startMs < toMs)
            .filter(({ site }) => asked?.includes(site) ?? true)
            .sort(
              (one, other) =>
                other.episode.startMs - one.episode.startMs ||
                (`${one.site} ${one.unit}` < `${other.site} ${other.unit}` ? -1 : 1),
            );
          expect(await store.episodesBetween(query)).toEqual(expected);
        }),
        { numRuns: 40 },
      );
    });
  });

  describe('service records', () => {
    it('come back as they were posted, newest first, in pages of any size', async () => {
      const { store } = place;
      const records = Array.from({ length: 12 }, (_, index) =>
        service(`s${String(index).padStart(2, '0')}`, NOW_MS + Math.floor(index / 3) * MINUTE_MS),
      );
      for (const record of records) await store.addServiceRecord(record);
      await store.addServiceRecord(service('other', NOW_MS, 'rtu-02'));
      for (const limit of [1, 5, 12, 100]) {
        const found = await everyItem((cursor) => store.serviceRecords({ ...REF, limit, cursor }));
        expect(found).toEqual([...records].reverse());
      }
      for (const page of ILLEGAL_PAGES) {
        await expectFailure(store.serviceRecords({ ...REF, ...page }), 'STORE_BAD_INPUT');
      }
    });

    it('are found between two times, the first included, oldest first', async () => {
      const { store } = place;
      for (const [index, atMs] of [30, 10, 20, 40].entries()) {
        await store.addServiceRecord(service(`s${index}`, NOW_MS + atMs));
      }
      const found = await store.serviceBetween(REF, NOW_MS + 10, NOW_MS + 40);
      expect(found.map(({ id }) => id)).toEqual(['s1', 's2', 's0']);
      expect(await store.serviceBetween(REF, NOW_MS + 40, NOW_MS + 10)).toEqual([]);
      const { unit, ...elsewhere } = { ...REF, unit: 'rtu-02' };
      expect(await store.serviceBetween({ ...elsewhere, unit }, 0, NOW_MS * 2)).toEqual([]);
    });

    it('are followed in the order in which they were added, whoever added them', async () => {
      const { store } = place;
      expect(await store.serviceEnd()).toBe(0);
      expect(await store.servicesAfter(0, 10)).toEqual([]);
      await store.addServiceRecord(service('s2', NOW_MS + 2));
      const end = await store.serviceEnd();
      expect(end).toBeGreaterThan(0);
      const other = await place.another();
      await other.addServiceRecord(service('s1', NOW_MS + 1, 'rtu-02'));
      await other.addServiceRecord(service('s0', NOW_MS));
      const all = await store.servicesAfter(0, 10);
      expect(all.map(({ unit }) => unit)).toEqual([REF.unit, 'rtu-02', REF.unit]);
      expect(await store.servicesAfter(end, 1)).toEqual(all.slice(1, 2));
      expect(await store.servicesAfter(all[1]?.sequence ?? 0, 10)).toEqual(all.slice(2));
      expect(await store.serviceEnd()).toBe(all[2]?.sequence);
    });

    it('are added once and never changed', async () => {
      const { store } = place;
      const record = service('s1', NOW_MS);
      await store.addServiceRecord(record);
      const second = { ...record, action: 'cleaned' };
      await expectFailure(store.addServiceRecord(second), 'STORE_CONFLICT');
      const timeless = { ...service('s2', Number.NaN) };
      await expectFailure(store.addServiceRecord(timeless), 'STORE_BAD_INPUT');
      expect((await store.serviceRecords({ ...REF, ...FIRST_PAGE })).items).toEqual([record]);
    });
  });
}
