import type { ChannelName, Reading } from '@lineside/readings';
import { CHANNEL_NAMES } from '@lineside/readings';
import type { ExtremesQuery, QuarterSeries, QuartersQuery, RangeQuery } from '@lineside/storage';

const QUARTER_MS = 900_000;

/** [start or time, minimum, mean, maximum]. */
export type ModelPoint = readonly [number, number, number, number];

interface Value {
  readonly atMs: number;
  readonly value: number;
}

/** The simplest telemetry store there can be: what the port promises, in memory, unhurried. */
export class TelemetryModel {
  readonly #units = new Map<string, Map<number, { [name in ChannelName]?: number }>>();

  /** Returns how many channel values were new. */
  append(readings: readonly Reading[]): number {
    let stored = 0;
    for (const { site, unit, atMs, channels } of readings) {
      const key = `${site}/${unit}`;
      const times = this.#units.get(key) ?? new Map<number, { [name in ChannelName]?: number }>();
      this.#units.set(key, times);
      const row = times.get(atMs) ?? {};
      times.set(atMs, row);
      for (const name of CHANNEL_NAMES) {
        const value = channels[name];
        if (value === undefined || row[name] !== undefined) continue;
        row[name] = value;
        stored += 1;
      }
    }
    return stored;
  }

  readings(site: string, unit: string, fromMs: number, toMs: number): Reading[] {
    const times = this.#units.get(`${site}/${unit}`) ?? new Map();
    return [...times]
      .filter(([atMs]) => atMs >= fromMs && atMs < toMs)
      .sort(([a], [b]) => a - b)
      .map(([atMs, channels]) => ({ site, unit, atMs, channels: { ...channels } }));
  }

  latest(site: string): Reading[] {
    return this.#unitsOf(site).flatMap((unit) =>
      this.readings(site, unit, 0, Number.POSITIVE_INFINITY).slice(-1),
    );
  }

  /** The most values that a channel of the query has. */
  mostValues(query: RangeQuery): number {
    const counts = this.#channels(query).map((name) => this.#values(query, name).length);
    return Math.max(0, ...counts);
  }

  /** Points of each channel with data, in buckets of that width or, at 0, as they are. */
  range(query: RangeQuery, bucketMs: number): Map<ChannelName, ModelPoint[]> {
    const found = new Map<ChannelName, ModelPoint[]>();
    for (const name of this.#channels(query)) {
      const values = this.#values(query, name);
      if (values.length === 0) continue;
      const buckets = new Map<number, Value[]>();
      for (const one of values) {
        const start = bucketMs === 0 ? one.atMs : Math.floor(one.atMs / bucketMs) * bucketMs;
        buckets.set(start, [...(buckets.get(start) ?? []), one]);
      }
      const points = [...buckets].map(([start, members]): ModelPoint => {
        const numbers = members.map((one) => one.value);
        const sum = numbers.reduce((total, value) => total + value, 0);
        return [start, Math.min(...numbers), sum / numbers.length, Math.max(...numbers)];
      });
      found.set(name, points);
    }
    return found;
  }

  extremes(site: string, query: ExtremesQuery): unknown[] {
    return this.#unitsOf(site).flatMap((unit) => {
      const whole = { ...query, site, unit, points: 1 };
      const channels = Object.fromEntries(
        query.channels.flatMap((name) => {
          const numbers = this.#values(whole, name).map((one) => one.value);
          if (numbers.length === 0) return [];
          return [[name, { min: Math.min(...numbers), max: Math.max(...numbers) }]];
        }),
      );
      return Object.keys(channels).length === 0 ? [] : [{ site, unit, channels }];
    });
  }

  quarters(query: QuartersQuery): QuarterSeries[] {
    const { site, unit } = query;
    const fromMs = Math.ceil(query.fromMs / QUARTER_MS) * QUARTER_MS;
    const toMs = Math.ceil(query.toMs / QUARTER_MS) * QUARTER_MS;
    const whole = { ...query, fromMs, toMs, points: 1 };
    return this.#channels(whole).flatMap((channel) => {
      const values = this.#values(whole, channel);
      const starts = values.map(({ atMs }) => Math.floor(atMs / QUARTER_MS) * QUARTER_MS);
      const distinct = [...new Set(starts)];
      if (distinct.length === 0) return [];
      const column = (of: (numbers: readonly number[]) => number): Float64Array =>
        Float64Array.from(distinct, (start) =>
          of(values.filter((_, place) => starts[place] === start).map(({ value }) => value)),
        );
      return [
        {
          site,
          unit,
          channel,
          startMs: Float64Array.from(distinct),
          min: column((numbers) => Math.min(...numbers)),
          max: column((numbers) => Math.max(...numbers)),
          sum: column((numbers) => numbers.reduce((a, b) => a + b, 0)),
        },
      ];
    });
  }

  #unitsOf(site: string): string[] {
    const keys = [...this.#units.keys()].filter((key) => key.startsWith(`${site}/`));
    return keys.map((key) => key.slice(site.length + 1)).sort();
  }

  #channels(query: RangeQuery): readonly ChannelName[] {
    return CHANNEL_NAMES.filter((name) => query.channels?.includes(name) ?? true);
  }

  #values(query: RangeQuery, name: ChannelName): Value[] {
    const { site, unit, fromMs, toMs } = query;
    return this.readings(site, unit, fromMs, toMs).flatMap(({ atMs, channels }) => {
      const value = channels[name];
      return value === undefined ? [] : [{ atMs, value }];
    });
  }
}
