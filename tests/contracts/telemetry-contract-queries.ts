import { CHANNEL_NAMES, type ChannelName, channelNamed, type Reading } from '@lineside/readings';
import {
  QUARTERS_MOST_QUERIES,
  type QuartersQuery,
  type RangeQuery,
  type RangeResult,
  type TelemetryStore,
} from '@lineside/storage';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type ModelPoint, TelemetryModel } from './telemetry-model.ts';
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

const CHANNELS: readonly ChannelName[] = ['rh', 'leak', 'door', 'p'];
const UNITS = ['rtu-01', 'weather'];
const RUNS = 60;

/** Names that would end a quotation, a line or a statement of a careless store. */
const STRANGE_NAMES = [
  '',
  `x' OR 'a'='a`,
  `x" OR "a"="a`,
  `'; DROP MEASUREMENT "reading"; --`,
  `'; DROP TABLE raw; --`,
  '\\',
  `\\' OR 'a'='a`,
  'two\nlines',
  'two\rlines',
  'nul\0',
  '%',
  '\u{1f4a7}',
];

/** What every telemetry store must answer, held against a model in memory. */
export function telemetryQueryContract(make: MakePlace): void {
  let place: TelemetryPlace;
  let store: TelemetryStore;
  let runs = 0;

  beforeAll(async () => {
    place = await make();
    store = place.store;
  });
  afterAll(() => place.dispose());

  it('answers as the model does, whatever comes in whatever order', async () => {
    await fc.assert(
      fc.asyncProperty(batches(), fc.array(questions(), { maxLength: 6 }), async (given, asked) => {
        runs += 1;
        const site = `site-${runs}`;
        const model = new TelemetryModel();
        for (const batch of given) {
          const here = batch.map((one) => ({ ...one, site }));
          const values = here.reduce((sum, one) => sum + Object.keys(one.channels).length, 0);
          const storedValues = model.append(here);
          const report = { storedValues, duplicateValues: values - storedValues };
          expect(await store.append(here)).toEqual(report);
        }
        const latest = (await store.latest()).filter((one) => one.site === site);
        expect(sortedByUnit(latest)).toEqual(model.latest(site));
        for (const question of asked) await compare(store, model, { ...question, site });
      }),
      { numRuns: RUNS },
    );
  });

  it('answers nothing about what it does not know', async () => {
    const query = { site: 'nowhere', unit: 'none', ...span(MONDAY_MS, MONDAY_MS + WEEK_MS) };
    const range = { ...query, channels: null, points: 10 };
    expect((await store.range(range)).series).toEqual([]);
    expect(text(await store.rangeJson(range))).toBe('{"channels":{}}');
    expect(await store.readings({ ...query, limit: 10 })).toEqual([]);
    expect((await store.range({ ...range, toMs: range.fromMs })).series).toEqual([]);
    expect(await store.extremes({ ...span(0, 1), channels: [] })).toEqual([]);
    expect(await store.quarters([])).toEqual([]);
    expect(await store.quarters([{ ...query, channels: ['rh'] }])).toEqual([]);
  });

  it.each(STRANGE_NAMES)('knows no site and no unit named %j, and does no harm', async (name) => {
    await store.append(minutes(MONDAY_MS, 3, 'unharmed'));
    const when = span(MONDAY_MS, MONDAY_MS + WEEK_MS);
    for (const one of [
      { site: name, unit: 'unharmed' },
      { site: SITE, unit: name },
    ]) {
      expect(await store.readings({ ...one, ...when, limit: 10 })).toEqual([]);
      expect((await store.range({ ...one, ...when, channels: null, points: 10 })).series).toEqual(
        [],
      );
      expect(await store.quarters([{ ...one, ...when, channels: ['rh'] }])).toEqual([]);
    }
    expect(await all(store, 'unharmed')).toHaveLength(3);
  });

  describe('range', () => {
    const day = { site: SITE, unit: UNIT, ...span(MONDAY_MS, MONDAY_MS + DAY_MS), channels: null };
    beforeAll(async () => {
      await store.append(minutes(MONDAY_MS, 24 * 60));
    });

    it('is raw as long as no channel has more values than points', async () => {
      const raw = await store.range({ ...day, points: 1_440 });
      expect(raw.bucketMs).toBe(0);
      expect(raw.series.map((one) => one.atMs.length)).toEqual([1_440, 1_440]);
      const buckets = await store.range({ ...day, points: 1_439 });
      expect(buckets.bucketMs).toBeGreaterThan(0);
    });

    it('counts the values of a channel, not the rows', async () => {
      const sparse = minutes(MONDAY_MS, 300, 'sparse').map((one, minute) =>
        minute % 100 === 7 ? { ...one, channels: { batt: 3 + minute / 100 } } : one,
      );
      await store.append(sparse);
      const result = await store.range({ ...day, unit: 'sparse', channels: ['batt'], points: 3 });
      expect(result.bucketMs).toBe(0);
      expect(result.series.map((one) => [...one.mean])).toEqual([[3.07, 4.07, 5.07]]);
    });

    it('writes JSON in the units of the channels', async () => {
      await store.append([
        { site: SITE, unit: 'json', atMs: MONDAY_MS, channels: { leak: 0.0042, door: 1 } },
      ]);
      const bytes = await store.rangeJson({ ...day, unit: 'json', points: 5 });
      expect(text(bytes)).toBe(
        `{"channels":{"leak":{"unit":"A","points":[[${MONDAY_MS},0.0042,0.0042,0.0042]]},` +
          `"door":{"unit":null,"points":[[${MONDAY_MS},1,1,1]]}}}`,
      );
    });
  });

  describe('readings', () => {
    it('gives the oldest ones first, at most so many', async () => {
      const batch = minutes(MONDAY_MS - 90 * MINUTE_MS, 180, 'limited');
      await store.append(batch);
      const query = { site: SITE, unit: 'limited', ...span(batch[3]!.atMs, batch[170]!.atMs) };
      expect(await store.readings({ ...query, limit: 120 })).toEqual(batch.slice(3, 123));
      expect(await store.readings({ ...query, limit: 500 })).toEqual(batch.slice(3, 170));
    });
  });

  it('gives the newest of every unit once, of those long silent too', async () => {
    const own = await make();
    try {
      const nowMs = Date.now();
      const times = [nowMs + HOUR_MS, nowMs, nowMs - DAY_MS, nowMs - 90 * DAY_MS, 5];
      const batch = times.flatMap((atMs, unit) =>
        [0, 1].map((age) => reading(Math.max(0, atMs - age * WEEK_MS), { rh: unit }, `u-${unit}`)),
      );
      await own.store.append(batch);
      const newest = times.map((atMs, unit) => reading(atMs, { rh: unit }, `u-${unit}`));
      expect(sortedByUnit(await own.store.latest())).toEqual(newest);
    } finally {
      await own.dispose();
    }
  });

  it('answers whole where there are tens of thousands of values', async () => {
    const batch = Array.from({ length: 12_345 }, (_, second) =>
      reading(MONDAY_MS + second * 1_000, { leak: second / 1e6, p: 990 }, 'dense'),
    );
    await store.append(batch);
    const again = await store.append([...batch].reverse());
    expect(again).toEqual({ storedValues: 0, duplicateValues: 2 * batch.length });
    expect(await all(store, 'dense')).toEqual(batch);
    const query = { site: SITE, unit: 'dense', ...span(MONDAY_MS, MONDAY_MS + DAY_MS) };
    const raw = await store.range({ ...query, channels: ['leak'], points: 20_000 });
    expect([...(raw.series[0]?.mean ?? [])]).toEqual(batch.map((one) => one.channels.leak));
    const years = minutes(MONDAY_MS, 20_001, 'sparse-years').map((one, quarter) => ({
      ...one,
      atMs: MONDAY_MS + quarter * 15 * MINUTE_MS,
    }));
    await store.append(years);
    const quarters = { ...query, unit: 'sparse-years', fromMs: 0, toMs: Date.UTC(9999, 0) };
    const [leak] = await store.quarters([{ ...quarters, channels: ['leak'] }]);
    expect([...(leak?.startMs ?? [])]).toEqual(years.map((one) => one.atMs));
    expect([...(leak?.max ?? [])]).toEqual(years.map((one) => one.channels.leak));
  });

  describe('backup', () => {
    it('answers the same when restored into an empty place, or is refused', async () => {
      const own = await make();
      try {
        const reason = store.lacks['backup'];
        if (reason !== undefined) {
          const failure = await failureOf(own.store.backup(own.freshFolder()));
          expect(failure).toMatchObject({ code: 'STORE_BAD_INPUT', message: reason });
          return;
        }
        await own.store.append(minutes(MONDAY_MS, 600));
        await own.store.append(minutes(MONDAY_MS + 2 * WEEK_MS, 600, 'rtu-02'));
        const folder = own.freshFolder();
        const meanwhile = own.store.append(minutes(MONDAY_MS + 600 * MINUTE_MS, 2_000, 'rtu-03'));
        await Promise.all([own.store.backup(folder), meanwhile]);
        const restored = await own.restored(folder);
        const question = { ...span(MONDAY_MS, MONDAY_MS + 3 * WEEK_MS), channels: ['rh'] as const };
        const known = ({ unit }: { unit: string }): boolean => unit !== 'rtu-03';
        for (const unit of [UNIT, 'rtu-02']) {
          const range = { ...question, site: SITE, unit, points: 50 };
          expect(await restored.range(range)).toEqual(await own.store.range(range));
        }
        const extremes = await restored.extremes(question);
        expect(extremes.filter(known)).toEqual((await own.store.extremes(question)).filter(known));
        expect((await restored.latest()).filter(known)).toHaveLength(2);
        await restored.append(minutes(MONDAY_MS + 600 * MINUTE_MS, 10));
      } finally {
        await own.dispose();
      }
    });
  });

  describe('what breaks the rules', () => {
    const good = { site: SITE, unit: UNIT, ...span(0, 10), channels: null, points: 10 };
    const bad: readonly (readonly [string, object])[] = [
      ['no points', { points: 0 }],
      ['too many points', { points: 20_001 }],
      ['half a point', { points: 1.5 }],
      ['a start that is no number', { fromMs: Number.NaN }],
      ['an end before its start', { fromMs: 11 }],
      ['an unknown channel', { channels: ['humidity'] }],
    ];
    it.each(bad)('refuses a range with %s', async (_what, change) => {
      const query: RangeQuery = { ...good, ...change };
      expect((await failureOf(store.range(query))).code).toBe('STORE_BAD_INPUT');
      expect((await failureOf(store.rangeJson(query))).code).toBe('STORE_BAD_INPUT');
    });

    it('refuses other questions that make no sense', async () => {
      const calls = [
        store.readings({ ...good, limit: 0 }),
        store.readings({ ...good, limit: 10, toMs: -1 }),
        store.extremes({ fromMs: 1, toMs: 0, channels: ['rh'] }),
        store.extremes({ ...span(0, 1), channels: ['humidity' as ChannelName] }),
        store.quarters([{ ...good, channels: ['humidity' as ChannelName] }]),
        store.quarters([{ ...good, channels: ['rh'], toMs: -1 }]),
        store.quarters(Array(QUARTERS_MOST_QUERIES + 1).fill({ ...good, channels: ['rh'] })),
        store.dropBefore(Number.NaN),
      ];
      for (const call of calls) expect((await failureOf(call)).code).toBe('STORE_BAD_INPUT');
    });
  });
}

/** Times in a few dense hours around week boundaries, so that quarters fill up, close and reopen. */
function times(): fc.Arbitrary<number> {
  const start = fc.constantFrom(0, WEEK_MS - HOUR_MS, 3 * WEEK_MS);
  const offset = fc.oneof(
    fc.integer({ min: 0, max: 120 }).map((minute) => minute * MINUTE_MS),
    fc.integer({ min: 0, max: 2 * HOUR_MS }),
  );
  return fc.tuple(start, offset).map(([a, b]) => MONDAY_MS + a + b);
}

function batches(): fc.Arbitrary<Reading[][]> {
  const value = fc.oneof(
    fc.integer({ min: -50, max: 50 }),
    fc.double({ min: -1e3, max: 1e3, noNaN: true }).map((number) => number + 0),
  );
  const channels = fc.dictionary(fc.constantFrom(...CHANNELS), value, {
    minKeys: 1,
    noNullPrototype: true,
  });
  const one = fc.record({
    site: fc.constant(SITE),
    unit: fc.constantFrom(...UNITS),
    atMs: times(),
    channels,
  });
  return fc.array(fc.array(one, { maxLength: 60, size: 'max' }), { maxLength: 6 });
}

type Question = Omit<RangeQuery, 'site'>;

function questions(): fc.Arbitrary<Question> {
  const edge = fc.oneof(times(), fc.constantFrom(0, MONDAY_MS + WEEK_MS, MONDAY_MS + 5 * WEEK_MS));
  return fc
    .record({
      unit: fc.constantFrom(...UNITS),
      edges: fc.tuple(edge, edge),
      channels: fc.option(fc.subarray([...CHANNELS])),
      points: fc.constantFrom(1, 2, 7, 20, 200),
    })
    .map(({ unit, edges: [a, b], channels, points }) => ({
      unit,
      channels,
      points,
      fromMs: Math.min(a, b),
      toMs: Math.max(a, b),
    }));
}

async function compare(
  store: TelemetryStore,
  model: TelemetryModel,
  query: RangeQuery,
): Promise<void> {
  const result = await store.range(query);
  expect(result.bucketMs === 0).toBe(model.mostValues(query) <= query.points);
  const expected = model.range(query, result.bucketMs);
  expect(result.series.map((one) => one.channel)).toEqual([...expected.keys()]);
  for (const one of result.series) {
    expect(one.atMs.length).toBeLessThanOrEqual(query.points);
    comparePoints(pointsOf(one), expected.get(one.channel) ?? []);
  }
  expect(JSON.parse(text(await store.rangeJson(query)))).toEqual(jsonOf(result));
  const { site, unit, fromMs, toMs } = query;
  const readings = await store.readings({ site, unit, fromMs, toMs, limit: 50 });
  expect(readings).toEqual(model.readings(site, unit, fromMs, toMs).slice(0, 50));
  const wanted = { fromMs, toMs, channels: query.channels ?? CHANNEL_NAMES };
  const extremes = (await store.extremes(wanted)).filter((one) => one.site === site);
  expect(sortedByUnit(extremes)).toEqual(model.extremes(site, wanted));
  await compareQuarters(store, model, { site, unit, ...wanted });
}

async function compareQuarters(
  store: TelemetryStore,
  model: TelemetryModel,
  query: QuartersQuery,
): Promise<void> {
  const elsewhere = { ...query, unit: 'nobody' };
  const found = await store.quarters([elsewhere, query, query]);
  const expected = model.quarters(query);
  expect(found).toHaveLength(2 * expected.length);
  for (const [place, one] of [...expected, ...expected].entries()) {
    const { sum, ...rest } = found[place]!;
    const { sum: expectedSum, ...expectedRest } = one;
    expect(rest).toEqual(expectedRest);
    expect(sum.length).toBe(expectedSum.length);
    for (const [at, value] of sum.entries()) expect(value).toBeCloseTo(expectedSum[at]!, 6);
  }
}

function comparePoints(actual: readonly ModelPoint[], expected: readonly ModelPoint[]): void {
  expect(actual.map(([at, min, , max]) => [at, min, max])).toEqual(
    expected.map(([at, min, , max]) => [at, min, max]),
  );
  for (const [index, [, min, mean, max]] of actual.entries()) {
    expect(Math.abs(mean - (expected[index]?.[2] ?? Number.NaN))).toBeLessThan(1e-9);
    expect(mean).toBeGreaterThanOrEqual(min);
    expect(mean).toBeLessThanOrEqual(max);
  }
}

function pointsOf(series: RangeResult['series'][number]): ModelPoint[] {
  const { atMs, min, mean, max } = series;
  return [...atMs].map((at, n) => [at, min[n] ?? 0, mean[n] ?? 0, max[n] ?? 0]);
}

/** The JSON that a result should become, means rounded as the port allows. */
function jsonOf(result: RangeResult): unknown {
  const channels = result.series.map((one) => {
    const points = pointsOf(one).map(([at, min, mean, max]) => {
      const rounded = Math.min(max, Math.max(min, Number(mean.toPrecision(12))));
      return [at, min, result.bucketMs === 0 ? mean : rounded, max];
    });
    return [one.channel, { unit: channelNamed(one.channel)?.unit, points }];
  });
  return { channels: Object.fromEntries(channels) };
}

function sortedByUnit<T extends { readonly unit: string }>(list: readonly T[]): T[] {
  return [...list].sort((a, b) => (a.unit < b.unit ? -1 : 1));
}

function text(bytes: Uint8Array): string {
  return new TextDecoder().decode(bytes);
}
