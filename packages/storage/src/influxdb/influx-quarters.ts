import type { QuarterSeries, QuartersQuery } from '../ports/telemetry-store.ts';
import { channelAt, channelsIn, maskOf } from '../sqlite/telemetry/channel-mask.ts';
import { QUARTER_MS } from '../sqlite/telemetry/week.ts';
import type { InfluxConnection } from './influx-connection.ts';
import { aggregateColumn, areNames, bucketsStatement, knownTimes } from './influxql.ts';
import { type AnswerSeries, columnPlaces, numberAt } from './query-answer.ts';

/** Quarters that start within each query's span. */
export async function readQuarters(
  connection: InfluxConnection,
  queries: readonly QuartersQuery[],
): Promise<readonly QuarterSeries[]> {
  const asked = queries.flatMap((query) => {
    const mask = maskOf(query.channels);
    const span = knownTimes({
      fromMs: Math.ceil(query.fromMs / QUARTER_MS) * QUARTER_MS,
      toMs: Math.ceil(query.toMs / QUARTER_MS) * QUARTER_MS,
    });
    const askable = mask !== 0 && span.fromMs < span.toMs && areNames(query);
    return askable ? [{ query, mask, span }] : [];
  });
  const statements = asked.map(({ query, mask, span }) =>
    bucketsStatement(query, mask, span, QUARTER_MS),
  );
  const answers = await connection.query(statements);
  return asked.flatMap(({ query, mask, span }, place) => {
    const [series] = answers[place] ?? [];
    return series === undefined ? [] : quartersOf(query, mask, span.fromMs, series);
  });
}

function quartersOf(
  { site, unit }: QuartersQuery,
  mask: number,
  fromMs: number,
  series: AnswerSeries,
): QuarterSeries[] {
  const time = series.columns.indexOf('time');
  return channelsIn(mask).flatMap((channel) => {
    const names = (['min', 'max', 'sum', 'count'] as const).map((one) =>
      aggregateColumn(channel, one),
    );
    const [min = -1, max = -1, sum = -1, count = -1] = columnPlaces(series, names);
    const rows = series.values.filter((row) => (numberAt(row, count) ?? 0) > 0);
    if (rows.length === 0) return [];
    const column = (at: number): Float64Array =>
      Float64Array.from(rows, (row) => numberAt(row, at) ?? 0);
    const startMs = Float64Array.from(rows, (row) => Math.max(fromMs, numberAt(row, time) ?? 0));
    const columns = { startMs, min: column(min), max: column(max), sum: column(sum) };
    return [{ site, unit, channel: channelAt(channel), ...columns }];
  });
}
