import { CHANNEL_NAMES, type ChannelName, channelNamed } from '@lineside/readings';
import type {
  ChannelSeries,
  ExtremesQuery,
  QuarterSeries,
  QuartersQuery,
  RangeQuery,
  RangeResult,
  TelemetryStore,
  UnitExtremes,
} from '@lineside/storage';
import { QUARTERS_MOST_QUERIES } from '@lineside/storage';
import { badInput } from './port-rules.ts';
import { type Disturb, overLane, StoreLane } from './store-lane.ts';
import type { TelemetryDisk } from './telemetry-disk.ts';

const MINUTE_MS = 60_000;
const QUARTER_MS = 15 * MINUTE_MS;
const RANGE_MOST_POINTS = 20_000;
const TIME_END_MS = Date.UTC(10_000, 0, 1);
const FIRST_WIDTHS_MINUTES = [1, 2, 5, 10, 15, 30];

export interface MemoryTelemetry {
  readonly store: TelemetryStore;
  /** Ends this handle as a crash does. */
  cut(): void;
}

/** Readings in memory, for tests: simple rather than fast, with a way to disturb each call. */
export function openMemoryTelemetry(
  disk: TelemetryDisk,
  disturb?: Disturb,
  backups: Map<string, TelemetryDisk> = new Map(),
): MemoryTelemetry {
  // A reader thread beside the writer: what is read does not wait for what is written.
  const writer = new StoreLane(disturb);
  const reader = new StoreLane(disturb);
  const lacks: TelemetryStore['lacks'] = {};
  const store: TelemetryStore = {
    lacks,
    ...overLane<Pick<TelemetryStore, 'append' | 'dropBefore'>>(writer, {
      append: (readings) => disk.append(readings),
      dropBefore: (beforeMs) => {
        checkSpan(beforeMs, TIME_END_MS);
        disk.dropBefore(beforeMs);
      },
    }),
    ...overLane<Omit<TelemetryStore, 'lacks' | 'append' | 'dropBefore' | 'close'>>(reader, {
      range: (query) => rangeOf(disk, query),
      rangeJson: (query) => new TextEncoder().encode(rangeText(rangeOf(disk, query))),
      readings: ({ site, unit, fromMs, toMs, limit }) => {
        checkSpan(fromMs, toMs);
        checkCount(limit, Number.MAX_SAFE_INTEGER);
        return disk.readings(site, unit, fromMs, toMs, limit);
      },
      latest: () => disk.latest(),
      extremes: (query) => extremesOf(disk, query),
      quarters: (queries) => quartersOf(disk, queries),
      backup: (folder) => {
        backups.set(folder, disk.copy());
      },
    }),
    close: async () => {
      await Promise.all([writer.close(), reader.close()]);
    },
  };
  const cut = (): void => {
    writer.cut();
    reader.cut();
  };
  return { store, cut };
}

interface Point {
  readonly atMs: number;
  readonly value: number;
}

function pointsOf(disk: TelemetryDisk, query: RangeQuery, channel: ChannelName): Point[] {
  const { site, unit, fromMs, toMs } = query;
  const readings = disk.readings(site, unit, fromMs, toMs, Number.POSITIVE_INFINITY);
  return readings.flatMap(({ atMs, channels }) => {
    const value = channels[channel];
    return value === undefined ? [] : [{ atMs, value }];
  });
}

function rangeOf(disk: TelemetryDisk, query: RangeQuery): RangeResult {
  checkSpan(query.fromMs, query.toMs);
  checkCount(query.points, RANGE_MOST_POINTS);
  checkChannels(query.channels ?? []);
  const wanted = CHANNEL_NAMES.filter((name) => query.channels?.includes(name) ?? true)
    .map((channel) => ({ channel, points: pointsOf(disk, query, channel) }))
    .filter(({ points }) => points.length > 0);
  const isRaw = wanted.every(({ points }) => points.length <= query.points);
  const bucketMs = isRaw ? 0 : widthFor(query);
  return {
    bucketMs,
    series: wanted.map(({ channel, points }) => seriesOf(channel, points, bucketMs)),
  };
}

function widthFor({ fromMs, toMs, points }: RangeQuery): number {
  const count = (widthMs: number): number =>
    Math.ceil(toMs / widthMs) - Math.floor(fromMs / widthMs);
  const widths = FIRST_WIDTHS_MINUTES.map((minutes) => minutes * MINUTE_MS);
  let widthMs = widths.find((one) => count(one) <= points) ?? 60 * MINUTE_MS;
  while (count(widthMs) > points) widthMs *= 2;
  return widthMs;
}

function seriesOf(channel: ChannelName, points: readonly Point[], bucketMs: number): ChannelSeries {
  const buckets = new Map<number, number[]>();
  for (const { atMs, value } of points) {
    const start = bucketMs === 0 ? atMs : Math.floor(atMs / bucketMs) * bucketMs;
    const values = buckets.get(start) ?? [];
    buckets.set(start, values);
    values.push(value);
  }
  const columns = [...buckets.values()];
  return {
    channel,
    atMs: Float64Array.from(buckets.keys()),
    min: Float64Array.from(columns, (values) => Math.min(...values)),
    mean: Float64Array.from(columns, meanOf),
    max: Float64Array.from(columns, (values) => Math.max(...values)),
  };
}

function meanOf(values: readonly number[]): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return Math.min(Math.max(...values), Math.max(Math.min(...values), mean));
}

function quartersOf(disk: TelemetryDisk, queries: readonly QuartersQuery[]): QuarterSeries[] {
  if (queries.length > QUARTERS_MOST_QUERIES) throw badInput('too many spans');
  for (const { fromMs, toMs, channels } of queries) {
    checkSpan(fromMs, toMs);
    checkChannels(channels);
  }
  return queries.flatMap((query) => {
    const { site, unit } = query;
    const fromMs = Math.ceil(query.fromMs / QUARTER_MS) * QUARTER_MS;
    const toMs = Math.ceil(query.toMs / QUARTER_MS) * QUARTER_MS;
    return CHANNEL_NAMES.filter((name) => query.channels.includes(name)).flatMap((channel) => {
      const whole = { ...query, channels: null, points: 1, fromMs, toMs };
      const quarters = new Map<number, number[]>();
      for (const { atMs, value } of pointsOf(disk, whole, channel)) {
        const startMs = Math.floor(atMs / QUARTER_MS) * QUARTER_MS;
        quarters.set(startMs, [...(quarters.get(startMs) ?? []), value]);
      }
      if (quarters.size === 0) return [];
      const columns = [...quarters.values()];
      const startMs = Float64Array.from(quarters.keys());
      const min = Float64Array.from(columns, (values) => Math.min(...values));
      const max = Float64Array.from(columns, (values) => Math.max(...values));
      const sum = Float64Array.from(columns, (values) => values.reduce((a, b) => a + b, 0));
      return [{ site, unit, channel, startMs, min, max, sum }];
    });
  });
}

function rangeText({ bucketMs, series }: RangeResult): string {
  const channels = series.map(({ channel, atMs, min, mean, max }) => {
    const points = Array.from(atMs, (at, n) => {
      const middle = mean[n] ?? 0;
      const low = min[n] ?? 0;
      const high = max[n] ?? 0;
      const rounded = Math.min(high, Math.max(low, Number(middle.toPrecision(12))));
      return [at, low, bucketMs === 0 ? middle : rounded, high];
    });
    return [channel, { unit: channelNamed(channel)?.unit ?? null, points }];
  });
  return JSON.stringify({ channels: Object.fromEntries(channels) });
}

function extremesOf(disk: TelemetryDisk, query: ExtremesQuery): UnitExtremes[] {
  checkSpan(query.fromMs, query.toMs);
  checkChannels(query.channels);
  return disk.units().flatMap(({ site, unit }) => {
    const channels = query.channels.flatMap((channel) => {
      const range = { ...query, site, unit, points: 1 };
      const values = pointsOf(disk, range, channel).map(({ value }) => value);
      if (values.length === 0) return [];
      return [[channel, { min: Math.min(...values), max: Math.max(...values) }] as const];
    });
    return channels.length === 0 ? [] : [{ site, unit, channels: Object.fromEntries(channels) }];
  });
}

function checkSpan(fromMs: number, toMs: number): void {
  const areTimes = [fromMs, toMs].every(
    (atMs) => Number.isInteger(atMs) && atMs >= 0 && atMs <= TIME_END_MS,
  );
  if (!areTimes || fromMs > toMs) throw badInput(`${fromMs} to ${toMs} is no span of times`);
}

function checkCount(count: number, most: number): void {
  if (Number.isInteger(count) && count >= 1 && count <= most) return;
  throw badInput(`${count} is not a whole number from 1 to ${most}`);
}

function checkChannels(names: readonly string[]): void {
  const known: readonly string[] = CHANNEL_NAMES;
  const unknown = names.find((name) => !known.includes(name));
  if (unknown !== undefined) throw badInput(`there is no channel "${unknown}"`);
}
