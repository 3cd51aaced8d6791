import type { ChannelSeries, RangeQuery, RangeResult } from '../ports/telemetry-store.ts';
import { bucketWidth } from '../sqlite/telemetry/bucket-width.ts';
import { ALL_CHANNELS, channelAt, channelsIn, maskOf } from '../sqlite/telemetry/channel-mask.ts';
import { BucketCollector, RawCollector } from '../sqlite/telemetry/series-collector.ts';
import { QUARTER_MS, type Span } from '../sqlite/telemetry/week.ts';
import { eachBucket } from './bucket-rows.ts';
import type { InfluxConnection } from './influx-connection.ts';
import { aggregateColumn, areNames, countsStatement, knownTimes } from './influxql.ts';
import { columnPlaces, numberAt } from './query-answer.ts';
import { eachRowPage } from './row-pages.ts';
import { type SpanPart, unitParts } from './span-parts.ts';
import { readSummedUp } from './summed-up.ts';

const RAW_WIDTH_MS = 0;

/**
 * The range raw where no channel has more than `points` values, in buckets otherwise. Counting
 * first tells that, and which channels there are: asking for all makes answers mostly of nulls.
 */
export async function readRange(
  connection: InfluxConnection,
  query: RangeQuery,
): Promise<RangeResult> {
  const span = knownTimes(query);
  const wanted = query.channels === null ? ALL_CHANNELS : maskOf(query.channels);
  if (span.fromMs >= span.toMs || wanted === 0 || !areNames(query)) {
    return { bucketMs: RAW_WIDTH_MS, series: [] };
  }
  const { site, unit } = query;
  const summed = await readSummedUp(connection, span, [{ site, unit }]);
  const parts = unitParts(span, query, summed);
  const { mask, most } = await countValues(connection, query, wanted, parts);
  if (most <= query.points) {
    const series = await readRaw(connection, query, mask, span);
    // Values that came between the two questions may be too many.
    const tooMany = series.some((one) => one.atMs.length > query.points);
    if (!tooMany) return { bucketMs: RAW_WIDTH_MS, series };
  }
  const widthMs = bucketWidth(span, query.points);
  const collector = new BucketCollector(span, widthMs);
  // A bucket narrower than a quarter cannot be made of quarters.
  const usable: readonly SpanPart[] =
    widthMs % QUARTER_MS === 0 ? parts : [{ span, source: 'readings' }];
  const questions = usable.map((part) => ({ unit: { site, unit }, mask, ...part }));
  await eachBucket(connection, questions, widthMs, (_question, row) => {
    collector.add(row.channel, row.atMs, row.min, row.max, row.sum, row.count);
  });
  return { bucketMs: widthMs, series: collector.series() };
}

/** Channels that have values, and how many the one has that has most. */
async function countValues(
  connection: InfluxConnection,
  { site, unit }: RangeQuery,
  wanted: number,
  parts: readonly SpanPart[],
): Promise<{ readonly mask: number; readonly most: number }> {
  const answers = await connection.query(
    parts.map(({ span, source }) => countsStatement({ site, unit }, wanted, span, source)),
  );
  let mask = 0;
  const counts = new Map<number, number>();
  for (const series of answers.flat()) {
    for (const channel of channelsIn(wanted)) {
      const place = series.columns.indexOf(aggregateColumn(channel, 'count'));
      const count = numberAt(series.values[0] ?? [], place) ?? 0;
      if (count === 0) continue;
      mask |= 1 << channel;
      counts.set(channel, (counts.get(channel) ?? 0) + count);
    }
  }
  return { mask, most: Math.max(0, ...counts.values()) };
}

async function readRaw(
  connection: InfluxConnection,
  query: RangeQuery,
  mask: number,
  span: Span,
): Promise<ChannelSeries[]> {
  if (mask === 0) return [];
  const collector = new RawCollector();
  const names = channelsIn(mask).map(channelAt);
  const most = query.points * names.length + 1;
  await eachRowPage(connection, query, mask, span, most, (series, rows, time) => {
    const places = columnPlaces(series, names);
    for (const row of rows) {
      const atMs = numberAt(row, time) ?? 0;
      for (const [index, channel] of channelsIn(mask).entries()) {
        const value = numberAt(row, places[index] ?? -1);
        if (value !== null) collector.add(channel, atMs, value);
      }
    }
  });
  return collector.series();
}
