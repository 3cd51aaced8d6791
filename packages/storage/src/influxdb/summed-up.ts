import { QUARTER_MS, type Span } from '../sqlite/telemetry/week.ts';
import type { InfluxConnection } from './influx-connection.ts';
import { lateDaysStatement, MOST_ROWS, summedStatement, type UnitTags } from './influxql.ts';
import { type AnswerSeries, numberAt } from './query-answer.ts';
import { dayStart, NOTHING_SUMMED_UP, type SummedUp, unitKey } from './span-parts.ts';

/** Names of more units make a statement long; then late days of all units are asked for. */
const MOST_NAMED_UNITS = 50;

/**
 * Reads what questions about the span may take from quarters. Spans below two quarters have next
 * to nothing of it, and are not asked about.
 *
 * @param units those that are asked about; null for all.
 */
export async function readSummedUp(
  connection: InfluxConnection,
  span: Span,
  units: readonly UnitTags[] | null,
): Promise<SummedUp> {
  if (span.toMs - span.fromMs < 2 * QUARTER_MS) return NOTHING_SUMMED_UP;
  const days = { fromMs: dayStart(span.fromMs), toMs: span.toMs };
  const named = units !== null && units.length <= MOST_NAMED_UNITS ? units : null;
  const [state = [], late = []] = await connection.query([
    summedStatement(),
    lateDaysStatement(days, MOST_ROWS, named),
  ]);
  // More days than an answer may have: nobody knows which those are that were left out.
  if (late.some(({ values }) => values.length >= MOST_ROWS)) return NOTHING_SUMMED_UP;
  return { beforeMs: beforeMsIn(state), lateDays: new Map(late.map(daysOf)) };
}

/** How far quarters are summed up, by an answer to `summedStatement`; 0 when none are. */
export function beforeMsIn([series]: readonly AnswerSeries[]): number {
  if (series === undefined) return 0;
  return numberAt(series.values[0] ?? [], series.columns.indexOf('before')) ?? 0;
}

function daysOf(series: AnswerSeries): readonly [string, readonly number[]] {
  const { site = '', unit = '' } = series.tags;
  return [unitKey({ site, unit }), timesOf(series)];
}

/** Times of the rows, ascending. */
export function timesOf({ columns, values }: AnswerSeries): number[] {
  const time = columns.indexOf('time');
  return values
    .map((row) => numberAt(row, time))
    .filter((atMs) => atMs !== null)
    .sort((a, b) => a - b);
}
