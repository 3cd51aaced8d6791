import type { QuarterSeries, QuartersQuery } from '../ports/telemetry-store.ts';
import { channelAt, channelsIn, maskOf } from '../sqlite/telemetry/channel-mask.ts';
import { QUARTER_MS, type Span } from '../sqlite/telemetry/week.ts';
import { type BucketRow, eachBucket } from './bucket-rows.ts';
import type { InfluxConnection } from './influx-connection.ts';
import { areNames, knownTimes, type UnitTags } from './influxql.ts';
import { NOTHING_SUMMED_UP, type SummedUp, unitKey, unitParts } from './span-parts.ts';
import { readSummedUp } from './summed-up.ts';

interface AskedQuarters {
  readonly unit: UnitTags;
  readonly mask: number;
  readonly span: Span;
}

/** Quarters that start within each query's span. */
export async function readQuarters(
  connection: InfluxConnection,
  queries: readonly QuartersQuery[],
): Promise<readonly QuarterSeries[]> {
  const asked = queries.flatMap(askedQuarters);
  const summed = await summedUpFor(connection, asked);
  // Parts of one query follow each other, so that their rows are in the order of time.
  const questions = asked.flatMap(({ unit, mask, span }, query) =>
    unitParts(span, unit, summed).map((part) => ({ query, unit, mask, ...part })),
  );
  const rows: BucketRow[][] = questions.map(() => []);
  await eachBucket(connection, questions, QUARTER_MS, (question, row) => rows[question]?.push(row));
  const found = asked.map(() => new Map<number, BucketRow[]>());
  for (const [place, { query }] of questions.entries()) {
    for (const row of rows[place] ?? []) {
      const ofChannel = found[query]?.get(row.channel);
      if (ofChannel === undefined) found[query]?.set(row.channel, [row]);
      else ofChannel.push(row);
    }
  }
  return asked.flatMap(({ unit, mask }, query) =>
    channelsIn(mask).flatMap((channel) => {
      const ofChannel = found[query]?.get(channel);
      if (ofChannel === undefined) return [];
      return [{ ...unit, channel: channelAt(channel), ...columns(ofChannel) }];
    }),
  );
}

function askedQuarters({ site, unit, channels, fromMs, toMs }: QuartersQuery): AskedQuarters[] {
  const mask = maskOf(channels);
  const span = knownTimes({
    fromMs: Math.ceil(fromMs / QUARTER_MS) * QUARTER_MS,
    toMs: Math.ceil(toMs / QUARTER_MS) * QUARTER_MS,
  });
  const askable = mask !== 0 && span.fromMs < span.toMs && areNames({ site, unit });
  return askable ? [{ unit: { site, unit }, mask, span }] : [];
}

async function summedUpFor(
  connection: InfluxConnection,
  asked: readonly AskedQuarters[],
): Promise<SummedUp> {
  if (asked.length === 0) return NOTHING_SUMMED_UP;
  const units = new Map(asked.map(({ unit }) => [unitKey(unit), unit]));
  const hull = {
    fromMs: asked.reduce((least, { span }) => Math.min(least, span.fromMs), Infinity),
    toMs: asked.reduce((most, { span }) => Math.max(most, span.toMs), 0),
  };
  return readSummedUp(connection, hull, [...units.values()]);
}

function columns(rows: readonly BucketRow[]): Omit<QuarterSeries, 'site' | 'unit' | 'channel'> {
  return {
    startMs: Float64Array.from(rows, (row) => row.atMs),
    min: Float64Array.from(rows, (row) => row.min),
    max: Float64Array.from(rows, (row) => row.max),
    sum: Float64Array.from(rows, (row) => row.sum),
  };
}
