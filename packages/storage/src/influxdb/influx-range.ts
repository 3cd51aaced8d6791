import type { ChannelSeries, RangeQuery, RangeResult } from '../ports/telemetry-store.ts';
import { bucketWidth } from '../sqlite/telemetry/bucket-width.ts';
import { ALL_CHANNELS, channelAt, channelsIn, maskOf } from '../sqlite/telemetry/channel-mask.ts';
import { BucketCollector, RawCollector } from '../sqlite/telemetry/series-collector.ts';
import type { Span } from '../sqlite/telemetry/week.ts';
import type { InfluxConnection } from './influx-connection.ts';
import { aggregateColumn, areNames, bucketsStatement, knownTimes } from './influxql.ts';
import { columnPlaces, numberAt } from './query-answer.ts';
import { eachRowPage } from './row-pages.ts';

const RAW_WIDTH_MS = 0;

/**
 * The range raw where no channel has more than `points` values, in buckets otherwise. Buckets are
 * asked for first: they say how many values there are, and raw points are read only when few.
 */
export async function readRange(
  connection: InfluxConnection,
  query: RangeQuery,
): Promise<RangeResult> {
  const span = knownTimes(query);
  const mask = query.channels === null ? ALL_CHANNELS : maskOf(query.channels);
  if (span.fromMs >= span.toMs || mask === 0 || !areNames(query)) {
    return { bucketMs: RAW_WIDTH_MS, series: [] };
  }
  const widthMs = bucketWidth(span, query.points);
  const buckets = await readBuckets(connection, query, mask, span, widthMs);
  const bucketed = { bucketMs: widthMs, series: buckets.series() };
  if (buckets.mostValues() > query.points) return bucketed;
  const present = maskOf(bucketed.series.map((one) => one.channel));
  const series = await readRaw(connection, query, present, span);
  // Values that came between the two questions may have been too many.
  const tooMany = series.some((one) => one.atMs.length > query.points);
  return tooMany ? bucketed : { bucketMs: RAW_WIDTH_MS, series };
}

async function readBuckets(
  connection: InfluxConnection,
  query: RangeQuery,
  mask: number,
  span: Span,
  widthMs: number,
): Promise<BucketCollector> {
  const collector = new BucketCollector(span, widthMs);
  const [found = []] = await connection.query([bucketsStatement(query, mask, span, widthMs)]);
  for (const series of found) {
    const time = series.columns.indexOf('time');
    const channels = channelsIn(mask).map((channel) => ({
      channel,
      places: columnPlaces(
        series,
        (['min', 'max', 'sum', 'count'] as const).map((one) => aggregateColumn(channel, one)),
      ),
    }));
    for (const row of series.values) {
      // One bucket for all has the time at which the server began to look, or none.
      const atMs = Math.max(span.fromMs, numberAt(row, time) ?? 0);
      for (const { channel, places } of channels) {
        const [min, max, sum, count] = places.map((place) => numberAt(row, place) ?? 0);
        if (!count) continue;
        collector.add(channel, atMs, min ?? 0, max ?? 0, sum ?? 0, count);
      }
    }
  }
  return collector;
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
