import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { expectFailure, type MakePlace, type RecordPlace } from './record-place.ts';
import {
  changes,
  contents,
  FIRST_PAGE,
  fill,
  NOW_MS,
  quarantined,
  raised,
  SITE,
} from './record-samples.ts';

/** Opening, closing, backing up. */
export function recordKeepingContract(make: MakePlace): void {
  let place: RecordPlace;
  beforeEach(async () => {
    place = await make();
  });
  afterEach(() => place.dispose());

  describe('a record store', () => {
    it('keeps everything when it is opened again', async () => {
      await fill(place.store);
      const before = await contents(place.store);
      expect(before).toMatchObject({ people: 1, journalEnd: 2 });
      expect(before['alerting']).toMatchObject({
        state: { generation: 1, journalThrough: 2, asks: [{ alarmId: 'a1' }] },
        due: [{ id: 'm2' }],
        links: [{ deviceHash: 'hash of a device' }, { deviceHash: null }],
        rota: { generation: 1 },
        secret: 'the first secret',
        holdsNow: [{ id: 'h1' }, { id: 'h2', endedBy: 'ana' }],
        verdictsOf: [{ by: 'rosa' }],
      });
      const again = await place.reopen();
      expect(await contents(again)).toEqual(before);
      await again.changeAlarms(changes(raised({ id: 'a2', kind: 'moisture' })));
      expect(await again.journalEnd()).toBeGreaterThan(2);
    });

    it('shows what another program wrote, both ways', async () => {
      const other = await place.another();
      await fill(other);
      expect(await contents(place.store)).toEqual(await contents(other));
      await place.store.setPresence({ site: SITE, unit: 'x', online: true, sinceMs: NOW_MS });
      expect(await other.presences()).toEqual(await place.store.presences());
    });

    it('takes the writes of two programs at the same time', async () => {
      const other = await place.another();
      const writes = Array.from({ length: 40 }, (_, count) =>
        (count % 2 === 0 ? place.store : other).quarantine([quarantined(count)]),
      );
      await Promise.all(writes);
      expect((await place.store.quarantined(FIRST_PAGE)).items).toHaveLength(40);
    });

    it('refuses every call once it is closed', async () => {
      const { store } = place;
      await fill(store);
      await store.close();
      await store.close();
      const names = Object.keys(store).filter((name) => name !== 'close');
      expect(names.length).toBeGreaterThan(30);
      for (const name of names) {
        const method: unknown = Reflect.get(store, name);
        if (typeof method !== 'function') throw new Error(`${name} is not a method`);
        const args = name === 'quarantine' ? [[]] : [];
        await expectFailure(method.apply(store, args), 'STORE_CLOSED');
      }
    });

    it('finishes what was asked before it was closed', async () => {
      const { store } = place;
      const filled = fill(store);
      const write = filled.then(() => {
        const last = store.setPresence({ site: SITE, unit: 'z', online: true, sinceMs: NOW_MS });
        return Promise.all([last, store.close()]);
      });
      await write;
      const again = await place.another();
      expect((await again.presences()).map(({ unit }) => unit)).toContain('z');
    });
  });

  describe('a backup', () => {
    it('restores everything into an empty place', async () => {
      await fill(place.store);
      const before = await contents(place.store);
      const file = place.freshFile();
      await place.store.backup(file);
      await place.store.saveFleet({ sites: [] });
      const restored = await place.restored(file);
      expect(await contents(restored)).toEqual(before);
      await restored.setPresence({ site: SITE, unit: 'y', online: false, sinceMs: NOW_MS });
      expect(await contents(place.store)).not.toEqual(await contents(restored));
    });

    it('is the state of one moment while writing goes on', async () => {
      const { store } = place;
      const other = await place.another();
      const bulk = Array.from({ length: 2_000 }, (_, count) => quarantined(count, 4_096));
      await store.quarantine(bulk);
      const file = place.freshFile();
      let isDone = false;
      const backup = store.backup(file).finally(() => {
        isDone = true;
      });
      let written = 0;
      while (!isDone) {
        const unit = `rtu-${written}`;
        const raise = raised({ id: `a${written}`, unit, atMs: NOW_MS + written });
        await (written % 2 === 0 ? store : other).changeAlarms(changes(raise));
        written += 1;
      }
      await backup;
      expect(written).toBeGreaterThan(1);
      const restored = await place.restored(file);
      const journal = await restored.journalAfter(0, 1_000);
      const alarms = await restored.alarms({ limit: 1_000, cursor: null });
      expect(journal.map(({ alarm }) => alarm)).toEqual([...alarms.items].reverse());
      expect(journal.map(({ alarm }) => alarm.id)).toEqual(journal.map((_, index) => `a${index}`));
    });

    it('replaces an older one', async () => {
      const file = place.freshFile();
      await place.store.backup(file);
      await fill(place.store);
      await place.store.backup(file);
      expect(await contents(await place.restored(file))).toEqual(await contents(place.store));
    });
  });
}
