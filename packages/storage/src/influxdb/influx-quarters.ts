import type { QuarterSeries, QuartersQuery } from '../ports/telemetry-store.ts';
import { channelAt, channelsIn, maskOf } from '../sqlite/telemetry/channel-mask.ts';
import { QUARTER_MS } from '../sqlite/telemetry/week.ts';
import { type BucketRow, eachBucket } from './bucket-rows.ts';
import type { InfluxConnection } from './influx-connection.ts';
import { areNames, knownTimes } from './influxql.ts';

/** Quarters that start within each query's span. */
export async function readQuarters(
  connection: InfluxConnection,
  queries: readonly QuartersQuery[],
): Promise<readonly QuarterSeries[]> {
  const questions = queries.flatMap(({ site, unit, channels, fromMs, toMs }) => {
    const mask = maskOf(channels);
    const span = knownTimes({
      fromMs: Math.ceil(fromMs / QUARTER_MS) * QUARTER_MS,
      toMs: Math.ceil(toMs / QUARTER_MS) * QUARTER_MS,
    });
    const askable = mask !== 0 && span.fromMs < span.toMs && areNames({ site, unit });
    return askable ? [{ unit: { site, unit }, mask, span }] : [];
  });
  const found = questions.map(() => new Map<number, BucketRow[]>());
  await eachBucket(connection, questions, QUARTER_MS, (question, row) => {
    const ofChannel = found[question]?.get(row.channel);
    if (ofChannel === undefined) found[question]?.set(row.channel, [row]);
    else ofChannel.push(row);
  });
  return questions.flatMap(({ unit, mask }, place) =>
    channelsIn(mask).flatMap((channel) => {
      const rows = found[place]?.get(channel);
      return rows === undefined ? [] : [{ ...unit, channel: channelAt(channel), ...columns(rows) }];
    }),
  );
}

function columns(rows: readonly BucketRow[]): Omit<QuarterSeries, 'site' | 'unit' | 'channel'> {
  return {
    startMs: Float64Array.from(rows, (row) => row.atMs),
    min: Float64Array.from(rows, (row) => row.min),
    max: Float64Array.from(rows, (row) => row.max),
    sum: Float64Array.from(rows, (row) => row.sum),
  };
}
