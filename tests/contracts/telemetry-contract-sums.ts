import type { ChannelName } from '@lineside/readings';
import type { QuarterSeries, RangeResult, TelemetryStore, UnitExtremes } from '@lineside/storage';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { TelemetryModel } from './telemetry-model.ts';
import {
  DAY_MS,
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
} from './telemetry-place.ts';

const TIMEOUT_MS = 180_000;
/** A busy machine takes a while to sum up a first day. */
const STARTED_WITHIN = { timeout: 60_000, interval: 20 };
const CHANNELS: readonly ChannelName[] = ['leak', 'rh'];
const QUARTER_MS = 15 * MINUTE_MS;

/** What is asked in every test, over spans that begin and end inside quarters. */
interface Answers {
  readonly range: RangeResult;
  readonly extremes: readonly UnitExtremes[];
  readonly quarters: readonly QuarterSeries[];
}

/**
 * What every store must do that sums readings up beside `append`: the answers are those of a store
 * that never does, whatever came late and wherever summing up was broken off.
 */
export function telemetrySumsContract(name: string, make: MakePlace): void {
  vi.setConfig({ testTimeout: TIMEOUT_MS, hookTimeout: TIMEOUT_MS });
  describe(`sums beside readings: ${name}`, () => {
    let place: TelemetryPlace;
    let store: TelemetryStore;
    const model = { current: new TelemetryModel() };

    beforeEach(async () => {
      place = await make();
      store = place.store;
      model.current = new TelemetryModel();
    });
    afterEach(() => place.dispose());

    const append = async (batch: ReturnType<typeof minutes>): Promise<void> => {
      model.current.append(batch);
      await store.append(batch);
    };
    const sumUp = async (nowMs: number): Promise<number> => {
      const report = await store.sumUp?.(nowMs);
      return report?.quarters ?? 0;
    };
    const check = async (fromMs: number, toMs: number, of: TelemetryStore = store) => {
      expectSame(await ask(of, fromMs, toMs), model.current, fromMs, toMs);
    };

    it('answers the same before and after, at the ends of spans and the newest end', async () => {
      const endMs = MONDAY_MS + 2 * DAY_MS + 7 * MINUTE_MS;
      await append(minutes(MONDAY_MS + 4 * MINUTE_MS, 2 * 24 * 60));
      await append(minutes(MONDAY_MS + HOUR_MS, 24 * 60, 'rtu-02'));
      const spans: readonly (readonly [number, number])[] = [
        [MONDAY_MS, endMs],
        [MONDAY_MS + 8 * MINUTE_MS, MONDAY_MS + 26 * HOUR_MS + 1],
        [MONDAY_MS + QUARTER_MS - 1, MONDAY_MS + QUARTER_MS + 1],
        [endMs - HOUR_MS, endMs + HOUR_MS],
      ];
      for (const [fromMs, toMs] of spans) await check(fromMs, toMs);
      expect(await sumUp(endMs)).toBeGreaterThan(250);
      for (const [fromMs, toMs] of spans) await check(fromMs, toMs);
      expect(await sumUp(endMs)).toBe(0);
    });

    it('counts what comes late, at once and when it is summed up again', async () => {
      const nowMs = MONDAY_MS + 3 * DAY_MS;
      await append(minutes(MONDAY_MS, 24 * 60));
      await append(minutes(MONDAY_MS, 24 * 60, 'rtu-02'));
      await sumUp(nowMs);
      const lateMs = MONDAY_MS + 5 * HOUR_MS + 30_000;
      await append([reading(lateMs, { leak: 0.9, rh: 1 }), reading(lateMs + 1, { leak: 0.8 })]);
      await check(MONDAY_MS, nowMs);
      await check(MONDAY_MS + 5 * HOUR_MS, MONDAY_MS + 6 * HOUR_MS);
      expect(await sumUp(nowMs)).toBe(96);
      await check(MONDAY_MS, nowMs);
      expect(await sumUp(nowMs)).toBe(0);
      // A day that had nothing at all when its quarters were summed up.
      await append(minutes(MONDAY_MS + DAY_MS, 100, 'rtu-03'));
      await check(MONDAY_MS, nowMs);
      expect(await sumUp(nowMs)).toBe(7);
      await check(MONDAY_MS, nowMs);
    });

    it('loses nothing that comes while it sums up', async () => {
      const nowMs = MONDAY_MS + 3 * DAY_MS;
      await append(minutes(MONDAY_MS, 12 * 60));
      const sums = sumUp(nowMs);
      for (let part = 0; part < 12; part++) {
        await append(minutes(MONDAY_MS + (12 * 60 + part * 60) * MINUTE_MS, 60));
        await append([reading(MONDAY_MS + part * HOUR_MS + 1, { leak: part })]);
      }
      await sums;
      await check(MONDAY_MS, nowMs);
      await sumUp(nowMs);
      await check(MONDAY_MS, nowMs);
    });

    it('goes on where it was broken off', async () => {
      const nowMs = MONDAY_MS + 40 * DAY_MS;
      for (let day = 0; day < 30; day++) await append(minutes(MONDAY_MS + day * DAY_MS, 240));
      const broken = sumUp(nowMs).catch(() => 0);
      await vi.waitFor(async () => {
        const other = await place.another();
        const before = await other.sumUp?.(0);
        expect(before?.beforeMs).toBeGreaterThan(MONDAY_MS);
      }, STARTED_WITHIN);
      const again = await place.reopen();
      await broken;
      await check(MONDAY_MS, nowMs, again);
      await again.append([reading(MONDAY_MS + 1, { leak: 7 })]);
      model.current.append([reading(MONDAY_MS + 1, { leak: 7 })]);
      await check(MONDAY_MS, nowMs, again);
      const report = await again.sumUp?.(nowMs);
      expect(report?.beforeMs).toBe(nowMs - QUARTER_MS);
      await check(MONDAY_MS, nowMs, again);
    });

    it('forgets sums with their readings', async () => {
      await append(minutes(MONDAY_MS, 24 * 60));
      await sumUp(MONDAY_MS + 3 * DAY_MS);
      await store.dropBefore(MONDAY_MS + 400 * DAY_MS);
      model.current = new TelemetryModel();
      await check(MONDAY_MS, MONDAY_MS + 2 * DAY_MS);
    });
  });
}

async function ask(store: TelemetryStore, fromMs: number, toMs: number): Promise<Answers> {
  const when = { ...span(fromMs, toMs), channels: CHANNELS };
  const [range, extremes, quarters] = await Promise.all([
    store.range({ site: SITE, unit: UNIT, ...when, points: 50 }),
    store.extremes(when),
    store.quarters(['rtu-01', 'rtu-02', 'rtu-03'].map((unit) => ({ site: SITE, unit, ...when }))),
  ]);
  return { range, extremes, quarters };
}

function expectSame(answers: Answers, model: TelemetryModel, fromMs: number, toMs: number): void {
  const when = { ...span(fromMs, toMs), channels: CHANNELS };
  const { range } = answers;
  const expected = model.range({ site: SITE, unit: UNIT, ...when, points: 50 }, range.bucketMs);
  expect(range.series.map((one) => one.channel)).toEqual(
    CHANNELS_IN_ORDER.filter((channel) => expected.has(channel)),
  );
  for (const one of range.series) {
    const points = expected.get(one.channel) ?? [];
    expect([...one.atMs]).toEqual(points.map(([atMs]) => atMs));
    expect([...one.min]).toEqual(points.map(([, min]) => min));
    expect([...one.max]).toEqual(points.map(([, , , max]) => max));
    for (const [place, mean] of one.mean.entries()) {
      expect(mean).toBeCloseTo(points[place]?.[2] ?? Number.NaN, 9);
    }
  }
  expect(answers.extremes).toEqual(model.extremes(SITE, when));
  const quarters = ['rtu-01', 'rtu-02', 'rtu-03'].flatMap((unit) =>
    model.quarters({ site: SITE, unit, ...when }),
  );
  expect(answers.quarters.map(withoutSum)).toEqual(quarters.map(withoutSum));
  for (const [place, { sum }] of answers.quarters.entries()) {
    for (const [at, value] of sum.entries()) {
      expect(value).toBeCloseTo(quarters[place]?.sum[at] ?? Number.NaN, 9);
    }
  }
}

const CHANNELS_IN_ORDER: readonly ChannelName[] = ['rh', 'leak'];

function withoutSum({ sum: _sum, ...rest }: QuarterSeries): Omit<QuarterSeries, 'sum'> {
  return rest;
}
