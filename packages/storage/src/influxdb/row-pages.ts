import type { Span } from '../sqlite/telemetry/week.ts';
import type { InfluxConnection } from './influx-connection.ts';
import { areNames, MOST_ROWS, rowsStatement, type UnitTags } from './influxql.ts';
import { type AnswerSeries, numberAt } from './query-answer.ts';

/** Visits the rows of one unit page by page, oldest first, at most `limit` of them. */
export async function eachRowPage(
  connection: InfluxConnection,
  unit: UnitTags,
  mask: number,
  span: Span,
  limit: number,
  visit: (series: AnswerSeries, rows: AnswerSeries['values'], time: number) => void,
): Promise<void> {
  if (!areNames(unit)) return;
  let { fromMs } = span;
  let left = limit;
  while (left > 0 && fromMs < span.toMs) {
    const page = Math.min(MOST_ROWS, left);
    const statement = rowsStatement(unit, mask, { fromMs, toMs: span.toMs }, page);
    const [[series] = []] = await connection.query([statement]);
    if (series === undefined) return;
    const time = series.columns.indexOf('time');
    visit(series, series.values, time);
    left -= series.values.length;
    const lastMs = numberAt(series.values.at(-1) ?? [], time);
    if (series.values.length < page || lastMs === null) return;
    fromMs = lastMs + 1;
  }
}
