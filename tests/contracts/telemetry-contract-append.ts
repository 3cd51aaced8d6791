import type { TelemetryStore } from '@lineside/storage';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  all,
  DAY_MS,
  failureOf,
  HOUR_MS,
  type MakePlace,
  MINUTE_MS,
  MONDAY_MS,
  minutes,
  reading,
  SITE,
  span,
  type TelemetryPlace,
  UNIT,
  WEEK_MS,
} from './telemetry-place.ts';

/** What every telemetry store must do with what it is given. */
export function telemetryAppendContract(make: MakePlace): void {
  let place: TelemetryPlace;
  let store: TelemetryStore;

  beforeAll(async () => {
    place = await make();
    store = place.store;
  });
  afterAll(() => place.dispose());

  describe('append', () => {
    it('changes nothing when a batch comes again', async () => {
      const batch = minutes(MONDAY_MS, 100, 'again');
      expect(await store.append(batch)).toEqual({ storedValues: 200, duplicateValues: 0 });
      const before = await all(store, 'again');
      expect(await store.append(batch)).toEqual({ storedValues: 0, duplicateValues: 200 });
      expect(await all(store, 'again')).toEqual(before);
      expect(before).toEqual(batch);
    });

    it('keeps the first value of a channel and time', async () => {
      await store.append([reading(MONDAY_MS, { rh: 50 }, 'first')]);
      const second = reading(MONDAY_MS, { rh: 99 }, 'first');
      expect(await store.append([second])).toEqual({ storedValues: 0, duplicateValues: 1 });
      expect(await all(store, 'first')).toEqual([reading(MONDAY_MS, { rh: 50 }, 'first')]);
    });

    it('keeps the first of two values within one batch', async () => {
      const twice = [1, 2].map((rh) => reading(MONDAY_MS, { rh }, 'within'));
      expect(await store.append(twice)).toEqual({ storedValues: 1, duplicateValues: 1 });
      expect(await all(store, 'within')).toEqual([reading(MONDAY_MS, { rh: 1 }, 'within')]);
    });

    it('fills in channels that a reading lacked', async () => {
      await store.append([reading(MONDAY_MS, { rh: 50, leak: 0.002 }, 'fill')]);
      const more = reading(MONDAY_MS, { rh: 51, t: 3.25, door: 1 }, 'fill');
      expect(await store.append([more])).toEqual({ storedValues: 2, duplicateValues: 1 });
      const merged = { rh: 50, t: 3.25, leak: 0.002, door: 1 };
      expect(await all(store, 'fill')).toEqual([reading(MONDAY_MS, merged, 'fill')]);
    });

    it('keeps every digit of a value', async () => {
      const values = [0.1 + 0.2, 1 / 3, 4.2 / 1000, 1e-300, 1e21, -0.5, 2 ** 53 - 1, 0];
      const batch = values.map((leak, index) => reading(MONDAY_MS + index, { leak }, 'digits'));
      await store.append(batch);
      expect((await all(store, 'digits')).map((one) => one.channels.leak)).toEqual(values);
    });

    it('takes an empty batch, and leaves out a reading without a channel', async () => {
      const nothing = { storedValues: 0, duplicateValues: 0 };
      expect(await store.append([])).toEqual(nothing);
      expect(await store.append([reading(MONDAY_MS, {}, 'empty')])).toEqual(nothing);
      expect(await all(store, 'empty')).toEqual([]);
    });

    it('takes a batch that spans weeks, in any order', async () => {
      const batch = minutes(MONDAY_MS + WEEK_MS - 50 * MINUTE_MS, 100, 'weeks').reverse();
      batch.push(...minutes(MONDAY_MS + 5 * WEEK_MS, 10, 'weeks'));
      batch.push(...minutes(0, 10, 'weeks'));
      expect((await store.append(batch)).storedValues).toBe(240);
      const stored = await all(store, 'weeks');
      expect(stored).toEqual([...batch].sort((a, b) => a.atMs - b.atMs));
      expect((await store.append(batch)).duplicateValues).toBe(240);
    });

    it('has made a batch visible to another connection when it resolves', async () => {
      const second = await place.another();
      for (let minute = 0; minute < 20; minute++) {
        const one = reading(MONDAY_MS + minute * MINUTE_MS, { leak: minute / 1000 }, 'seen');
        await store.append([one]);
        const query = { site: SITE, unit: 'seen', ...span(one.atMs, one.atMs + 1), limit: 1 };
        expect(await second.readings(query)).toEqual([one]);
      }
    });

    it('keeps two connections from spoiling each other', async () => {
      const second = await place.another();
      const batch = minutes(MONDAY_MS, 120, 'both');
      for (let minute = 0; minute < 120; minute += 10) {
        const part = batch.slice(minute, minute + 10);
        await Promise.all([store.append(part.slice(0, 6)), second.append(part.slice(4))]);
      }
      expect(await all(store, 'both')).toEqual(batch);
      const query = { site: SITE, unit: 'both', ...span(MONDAY_MS, MONDAY_MS + 2 * HOUR_MS) };
      const { bucketMs, series } = await store.range({ ...query, channels: ['leak'], points: 8 });
      expect(bucketMs).toBe(15 * MINUTE_MS);
      const means = [...(series[0]?.mean ?? [])].map((mean) => Math.round(mean * 1e9));
      expect(means).toEqual([0, 1, 2, 3, 4, 5, 6, 7].map((n) => 1_007_000 + n * 15_000));
    });
  });

  describe('dropBefore', () => {
    it('forgets old periods and keeps what is younger', async () => {
      const own = await make();
      try {
        const old = minutes(MONDAY_MS, 10);
        const young = minutes(MONDAY_MS + 8 * WEEK_MS, 10);
        await own.store.append([...old, ...young]);
        expect(await all(own.store)).toHaveLength(20);
        await own.store.dropBefore(MONDAY_MS);
        expect(await all(own.store)).toHaveLength(20);
        await own.store.dropBefore(MONDAY_MS + 8 * WEEK_MS);
        expect(await all(own.store)).toEqual(young);
        expect(await all(await own.reopen())).toEqual(young);
      } finally {
        await own.dispose();
      }
    });

    it('takes readings again for times that were forgotten', async () => {
      const own = await make();
      try {
        await own.store.append(minutes(MONDAY_MS, 10));
        await own.store.dropBefore(MONDAY_MS + 400 * DAY_MS);
        expect(await all(own.store)).toEqual([]);
        await own.store.append(minutes(MONDAY_MS, 5));
        expect(await all(own.store)).toHaveLength(5);
        expect(await own.store.latest()).toHaveLength(1);
      } finally {
        await own.dispose();
      }
    });
  });

  describe('what breaks the rules', () => {
    const good = reading(MONDAY_MS, { rh: 50 }, 'rules');
    const illegal: readonly (readonly [string, unknown])[] = [
      ['a fraction of a millisecond', { ...good, atMs: 1.5 }],
      ['a time that is no number', { ...good, atMs: Number.NaN }],
      ['a time before 1970', { ...good, atMs: -1 }],
      ['a time after the year 9999', { ...good, atMs: Date.UTC(10_000, 0) }],
      ['a value that is no number', { ...good, channels: { rh: Number.NaN } }],
      ['an infinite value', { ...good, channels: { rh: Number.POSITIVE_INFINITY } }],
      ['a text for a value', { ...good, channels: { rh: '50' } }],
      ['a channel that does not exist', { ...good, channels: { rh: 50, humidity: 50 } }],
      ['an empty site', { ...good, site: '' }],
      ['a unit that is no id', { ...good, unit: '../rules' }],
    ];
    it.each(illegal)('refuses a batch with %s and keeps nothing of it', async (_what, bad) => {
      const batch = [good, bad as typeof good];
      const failure = await failureOf(store.append(batch));
      expect(failure.code).toBe('STORE_BAD_INPUT');
      expect(failure.message).toContain('Reading 1 of the batch');
      expect(await all(store, 'rules')).toEqual([]);
    });
  });

  describe('close', () => {
    it('keeps everything for the next opening', async () => {
      const own = await make();
      try {
        const batch = minutes(MONDAY_MS, 3 * 60);
        await own.store.append(batch.slice(0, 100));
        const again = await own.reopen();
        await again.append(batch.slice(100));
        expect(await all(again)).toEqual(batch);
        const query = { ...span(MONDAY_MS, MONDAY_MS + DAY_MS), channels: ['leak'] as const };
        const channels = { leak: { min: 0.001, max: 0.001179 } };
        expect(await again.extremes(query)).toEqual([{ site: SITE, unit: UNIT, channels }]);
      } finally {
        await own.dispose();
      }
    });

    it('keeps the first values after the next opening, whatever comes first then', async () => {
      const own = await make();
      try {
        const batch = minutes(MONDAY_MS, 8 * 24 * 60);
        await own.store.append(batch);
        const again = await own.reopen();
        const others = batch.map((one) => ({ ...one, channels: { rh: 99, t: 5 } }));
        for (const place of [5_000, 9_000, 0, 11_519]) {
          const report = await again.append(others.slice(place, place + 1));
          expect(report).toEqual({ storedValues: 1, duplicateValues: 1 });
        }
        const stored = await all(again);
        const changed = new Set([5_000, 9_000, 0, 11_519]);
        expect(stored).toEqual(
          batch.map((one, place) =>
            changed.has(place) ? { ...one, channels: { ...one.channels, t: 5 } } : one,
          ),
        );
      } finally {
        await own.dispose();
      }
    });

    it('finishes what was begun and refuses what comes later', async () => {
      const own = await make();
      try {
        const appended = own.store.append(minutes(MONDAY_MS, 1_000));
        await Promise.all([own.store.close(), own.store.close()]);
        expect((await appended).storedValues).toBe(2_000);
        const range = { site: SITE, unit: UNIT, ...span(0, 1), channels: null, points: 1 };
        const calls = [
          own.store.append([]),
          own.store.range(range),
          own.store.rangeJson(range),
          own.store.readings({ site: SITE, unit: UNIT, ...span(0, 1), limit: 1 }),
          own.store.latest(),
          own.store.extremes({ ...span(0, 1), channels: ['rh'] }),
          own.store.dropBefore(0),
          own.store.backup(own.freshFolder()),
        ];
        for (const call of calls) expect((await failureOf(call)).code).toBe('STORE_CLOSED');
      } finally {
        await own.dispose();
      }
    });
  });
}
