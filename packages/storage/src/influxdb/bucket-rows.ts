import { channelsIn } from '../sqlite/telemetry/channel-mask.ts';
import type { Span } from '../sqlite/telemetry/week.ts';
import type { InfluxConnection } from './influx-connection.ts';
import {
  aggregateColumn,
  bucketsStatement,
  MOST_ROWS,
  type Source,
  type UnitTags,
} from './influxql.ts';
import { type AnswerSeries, columnPlaces, numberAt } from './query-answer.ts';

/** One channel in one bucket. */
export interface BucketRow {
  readonly channel: number;
  /** A time within the bucket and the question's span; the bucket's start where that begins it. */
  readonly atMs: number;
  readonly min: number;
  readonly max: number;
  readonly sum: number;
  readonly count: number;
}

/** Buckets of one unit that are asked for. */
export interface BucketQuestion {
  readonly unit: UnitTags;
  readonly mask: number;
  readonly span: Span;
  /** Quarters only where the span begins and ends with one. */
  readonly source: Source;
}

/**
 * Visits the filled buckets of every question, of each question oldest first. What is longer than
 * an answer may be is asked for in several rounds.
 */
export async function eachBucket(
  connection: InfluxConnection,
  questions: readonly BucketQuestion[],
  widthMs: number,
  visit: (question: number, row: BucketRow) => void,
): Promise<void> {
  let open = questions.map((question, place) => ({ ...question, place }));
  while (open.length > 0) {
    const answers = await connection.query(
      open.map(({ unit, mask, span, source }) =>
        bucketsStatement(unit, mask, span, widthMs, source),
      ),
    );
    open = open.flatMap((one, at) => {
      const [series] = answers[at] ?? [];
      if (series === undefined) return [];
      visitRows(series, one, (row) => visit(one.place, row));
      const lastMs = numberAt(series.values.at(-1) ?? [], series.columns.indexOf('time'));
      if (series.values.length < MOST_ROWS || lastMs === null) return [];
      const fromMs = lastMs + widthMs;
      return fromMs < one.span.toMs ? [{ ...one, span: { ...one.span, fromMs } }] : [];
    });
  }
}

function visitRows(
  series: AnswerSeries,
  { mask, span }: BucketQuestion,
  visit: (row: BucketRow) => void,
): void {
  const time = series.columns.indexOf('time');
  const channels = channelsIn(mask).map((channel) => {
    const names = FIELDS.map((field) => aggregateColumn(channel, field));
    return { channel, places: columnPlaces(series, names) };
  });
  for (const values of series.values) {
    // One bucket for all has the time at which the server began to look, or none.
    const atMs = Math.max(span.fromMs, numberAt(values, time) ?? 0);
    for (const { channel, places } of channels) {
      const [min = 0, max = 0, sum = 0, count = 0] = places.map((at) => numberAt(values, at) ?? 0);
      if (count > 0) visit({ channel, atMs, min, max, sum, count });
    }
  }
}

const FIELDS = ['min', 'max', 'sum', 'count'] as const;
