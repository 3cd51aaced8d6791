import type { ChannelSeries } from '../../ports/telemetry-store.ts';
import { bucketCount } from './bucket-width.ts';
import { CHANNEL_COUNT, channelAt } from './channel-mask.ts';
import type { Span } from './week.ts';

/** Minimum, maximum, sum and count of each bucket of one channel, as columns. */
interface BucketColumns {
  readonly min: Float64Array;
  readonly max: Float64Array;
  readonly sum: Float64Array;
  readonly count: Float64Array;
}

/** Sums up values and rollups of one unit, from any number of files, into buckets. */
export class BucketCollector {
  readonly #widthMs: number;
  readonly #first: number;
  readonly #buckets: number;
  readonly #channels: (BucketColumns | undefined)[] = new Array(CHANNEL_COUNT);

  constructor(span: Span, widthMs: number) {
    this.#widthMs = widthMs;
    this.#first = Math.floor(span.fromMs / widthMs);
    this.#buckets = bucketCount(span, widthMs);
  }

  /** Adds what `count` values from `atMs` on come to, all of them in one bucket. */
  add(channel: number, atMs: number, min: number, max: number, sum: number, count: number): void {
    const columns = this.#columns(channel);
    const bucket = Math.floor(atMs / this.#widthMs) - this.#first;
    const before = columns.count[bucket] ?? 0;
    columns.count[bucket] = before + count;
    columns.sum[bucket] = (columns.sum[bucket] ?? 0) + sum;
    if (before === 0 || min < (columns.min[bucket] ?? 0)) columns.min[bucket] = min;
    if (before === 0 || max > (columns.max[bucket] ?? 0)) columns.max[bucket] = max;
  }

  /** Values of the channel that has most. */
  mostValues(): number {
    let most = 0;
    for (const columns of this.#channels) {
      if (columns !== undefined) most = Math.max(most, total(columns.count));
    }
    return most;
  }

  series(): ChannelSeries[] {
    return this.#channels.flatMap((columns, channel) =>
      columns === undefined ? [] : [this.#seriesOf(channel, columns)],
    );
  }

  #columns(channel: number): BucketColumns {
    const known = this.#channels[channel];
    if (known !== undefined) return known;
    const empty = (): Float64Array => new Float64Array(this.#buckets);
    const made = { min: empty(), max: empty(), sum: empty(), count: empty() };
    this.#channels[channel] = made;
    return made;
  }

  #seriesOf(channel: number, columns: BucketColumns): ChannelSeries {
    const filled = columns.count.reduce((sum, count) => sum + (count > 0 ? 1 : 0), 0);
    const series = emptySeries(channel, filled);
    let place = 0;
    for (let bucket = 0; bucket < this.#buckets; bucket++) {
      const count = columns.count[bucket] ?? 0;
      if (count === 0) continue;
      const min = columns.min[bucket] ?? 0;
      const max = columns.max[bucket] ?? 0;
      series.atMs[place] = (this.#first + bucket) * this.#widthMs;
      series.min[place] = min;
      series.max[place] = max;
      series.mean[place] = between(min, (columns.sum[bucket] ?? 0) / count, max);
      place += 1;
    }
    return series;
  }
}

/** Takes values of one unit as they are, oldest first. */
export class RawCollector {
  readonly #atMs: number[][] = Array.from({ length: CHANNEL_COUNT }, () => []);
  readonly #values: number[][] = Array.from({ length: CHANNEL_COUNT }, () => []);

  add(channel: number, atMs: number, value: number): void {
    this.#atMs[channel]?.push(atMs);
    this.#values[channel]?.push(value);
  }

  series(): ChannelSeries[] {
    return this.#values.flatMap((values, channel) => {
      if (values.length === 0) return [];
      const series = emptySeries(channel, values.length);
      series.atMs.set(this.#atMs[channel] ?? []);
      for (const column of [series.min, series.mean, series.max]) column.set(values);
      return [series];
    });
  }
}

/** Rounding of a sum must not put the mean outside its values. */
export function between(min: number, value: number, max: number): number {
  return Math.min(max, Math.max(min, value));
}

function emptySeries(channel: number, length: number): ChannelSeries {
  return {
    channel: channelAt(channel),
    atMs: new Float64Array(length),
    min: new Float64Array(length),
    mean: new Float64Array(length),
    max: new Float64Array(length),
  };
}

function total(counts: Float64Array): number {
  let sum = 0;
  for (const count of counts) sum += count;
  return sum;
}
