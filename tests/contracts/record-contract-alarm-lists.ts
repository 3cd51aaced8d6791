import type { Alarm } from '@lineside/alarms';
import type { FindingKind } from '@lineside/anomaly';
import type { AlarmQuery, RecordStore } from '@lineside/storage';
import fc from 'fast-check';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import {
  everyItem,
  expectFailure,
  ILLEGAL_PAGES,
  type MakePlace,
  type RecordPlace,
} from './record-place.ts';
import {
  acknowledged,
  acted,
  changes,
  clearedAt,
  FIRST_PAGE,
  MINUTE_MS,
  NOW_MS,
  raised,
  SITE,
  withdrawn,
} from './record-samples.ts';

const SITES = [SITE, 'north-depot', 'mill-row'];
const UNITS = ['rtu-01', 'rtu-02'];
const KINDS: readonly FindingKind[] = ['leakage', 'moisture', 'silent'];

/** Alarms of three sites over some hours, each kind several times after another. */
async function manyAlarms(store: RecordStore): Promise<readonly Alarm[]> {
  const all: Alarm[] = [];
  const places = SITES.flatMap((site) => UNITS.map((unit) => ({ site, unit })));
  const series = places.flatMap((ref) => KINDS.map((kind) => ({ ...ref, kind })));
  for (const [index, one] of series.entries()) {
    for (let round = 0; round < 4; round++) {
      const atMs = NOW_MS + round * 90 * MINUTE_MS + (index % 3) * MINUTE_MS;
      const raise = raised({ ...one, id: `a${index}-${round}`, atMs });
      const entries = [raise];
      const add = (entry: typeof raise) => entries.push(entry);
      const last = () => entries.at(-1)?.alarm ?? raise.alarm;
      if ((index + round) % 2 === 0) add(acknowledged(last()));
      if (round < 3 || index % 4 === 0) add(clearedAt(last(), atMs + 20 * MINUTE_MS));
      if (index % 5 === 1 && last().state !== 'normal') {
        add(acted(last(), { type: 'shelve', untilMs: NOW_MS + 1, reason: 'booked' }));
      }
      if ((index + round) % 7 === 3) add(withdrawn(last()));
      await store.changeAlarms(changes(...entries));
      all.push(last());
    }
  }
  return all.sort((a, b) => b.raisedAtMs - a.raisedAtMs || (a.id < b.id ? 1 : -1));
}

function fits(alarm: Alarm, query: Partial<AlarmQuery>): boolean {
  const { state, sites, unit, kind, fromMs, toMs } = query;
  return (
    (query.withdrawn === true || !alarm.withdrawn) &&
    (state !== 'standing' || alarm.standing) &&
    (state !== 'open' || alarm.state !== 'normal') &&
    (sites === undefined || sites.includes(alarm.site)) &&
    (unit === undefined || alarm.unit === unit) &&
    (kind === undefined || alarm.kind === kind) &&
    (toMs === undefined || alarm.raisedAtMs < toMs) &&
    (fromMs === undefined || alarm.clearedAtMs === null || alarm.clearedAtMs > fromMs)
  );
}

const timeMs = fc.integer({ min: -30, max: 400 }).map((minutes) => NOW_MS + minutes * MINUTE_MS);

const filters: fc.Arbitrary<Partial<AlarmQuery>> = fc.record(
  {
    state: fc.constantFrom('standing' as const, 'open' as const),
    sites: fc.subarray([...SITES, 'nowhere']),
    unit: fc.constantFrom(...UNITS, 'rtu-99'),
    kind: fc.constantFrom(...KINDS, 'phase-loss' as const),
    fromMs: timeMs,
    toMs: timeMs,
    withdrawn: fc.boolean(),
  },
  { requiredKeys: [] },
);

/** Reading lists of alarms. */
export function recordAlarmListContract(make: MakePlace): void {
  describe('a list of alarms', () => {
    let place: RecordPlace;
    let alarms: readonly Alarm[];
    beforeAll(async () => {
      place = await make();
      alarms = await manyAlarms(place.store);
    });
    afterAll(() => place.dispose());

    it('has what its filters say, newest first, in pages of any size', async () => {
      await fc.assert(
        fc.asyncProperty(filters, fc.integer({ min: 1, max: 80 }), async (query, limit) => {
          const found = await everyItem((cursor) =>
            place.store.alarms({ ...query, limit, cursor }),
          );
          expect(found).toEqual(alarms.filter((alarm) => fits(alarm, query)));
        }),
        { numRuns: 60 },
      );
    });

    it('takes filters that are present but undefined as absent', async () => {
      const query = JSON.parse('{}') as Partial<AlarmQuery>;
      const found = await place.store.alarms({ ...query, ...FIRST_PAGE });
      expect(found).toEqual({ items: alarms.filter((alarm) => !alarm.withdrawn), next: null });
      const all = await place.store.alarms({ ...FIRST_PAGE, withdrawn: true });
      expect(all).toEqual({ items: alarms, next: null });
      expect(all.items.length).toBeGreaterThan(found.items.length);
    });

    it('of the newest has one of each kind of the unit', async () => {
      const ref = { site: SITE, unit: 'rtu-01' };
      const newest = await place.store.newestAlarms(ref);
      const expected = KINDS.map((kind) =>
        alarms.find((one) => fits(one, { ...unitOf(ref), kind })),
      );
      expect([...newest].sort((a, b) => (a.kind < b.kind ? -1 : 1))).toEqual(expected);
      expect(await place.store.newestAlarms({ site: SITE, unit: 'rtu-99' })).toEqual([]);
    });

    it('of the open has all that are not normal and the newest of each kind', async () => {
      const seen = new Set<string>();
      const expected = alarms.filter(({ site, unit, kind, state, withdrawn: isWithdrawn }) => {
        if (isWithdrawn) return false;
        const isNewest = !seen.has(`${site}/${unit}/${kind}`);
        seen.add(`${site}/${unit}/${kind}`);
        return isNewest || state !== 'normal';
      });
      expect(expected.length).toBeLessThan(alarms.length);
      const open = await place.store.openAlarms();
      expect(open.map(({ id }) => id).sort()).toEqual(expected.map(({ id }) => id).sort());
    });

    it('refuses illegal pages and states', async () => {
      for (const page of ILLEGAL_PAGES) {
        await expectFailure(place.store.alarms(page), 'STORE_BAD_INPUT');
      }
      const state = JSON.parse('"asleep"');
      await expectFailure(place.store.alarms({ ...FIRST_PAGE, state }), 'STORE_BAD_INPUT');
      const { next } = await place.store.alarms({ limit: 1, cursor: null });
      const elsewhere = place.store.quarantined({ limit: 1, cursor: next });
      await expectFailure(elsewhere, 'STORE_BAD_INPUT');
    });
  });

  describe('pages of alarms', () => {
    let place: RecordPlace;
    beforeEach(async () => {
      place = await make();
    });
    afterEach(() => place.dispose());

    it('neither repeat nor hide alarms while others are added', async () => {
      let count = 0;
      const add = async (minutes: number): Promise<string> => {
        count += 1;
        const atMs = NOW_MS + minutes * MINUTE_MS;
        const raise = raised({ id: `n${count}`, unit: `rtu-${count}`, atMs });
        await place.store.changeAlarms(changes(raise));
        return raise.alarm.id;
      };
      const minutes = fc.integer({ min: 0, max: 8 });
      await fc.assert(
        fc.asyncProperty(
          fc.array(minutes, { minLength: 1, maxLength: 12 }),
          fc.array(minutes, { maxLength: 6 }),
          fc.integer({ min: 1, max: 5 }),
          async (before, between, limit) => {
            for (const one of before) await add(one);
            const known = await everyItem((cursor) => place.store.alarms({ limit: 1_000, cursor }));
            const later = [...between];
            const walked = await everyItem(async (cursor) => {
              const page = await place.store.alarms({ limit, cursor });
              const next = later.pop();
              if (next !== undefined) await add(next);
              return page;
            });
            const ids = walked.map(({ id }) => id);
            expect(new Set(ids).size).toBe(ids.length);
            const knownIds = known.map(({ id }) => id);
            expect(ids.filter((id) => knownIds.includes(id))).toEqual(knownIds);
          },
        ),
        { numRuns: 12 },
      );
    });
  });
}

function unitOf({ site, unit }: { site: string; unit: string }): Partial<AlarmQuery> {
  return { sites: [site], unit };
}
