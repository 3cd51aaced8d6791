import { channelIndex } from '../sqlite/telemetry/channel-mask.ts';
import type { UnitBatch } from './append-batch.ts';
import type { InfluxConnection } from './influx-connection.ts';
import { MOST_ROWS, unitsRowsStatement } from './influxql.ts';
import { type AnswerSeries, numberAt } from './query-answer.ts';
import { eachRowPage } from './row-pages.ts';

const HOUR_MS = 3_600_000;

/** Times of one unit that lie closer together are asked for as one span. */
const LONGEST_GAP_MS: number = HOUR_MS;

/** A span's answer stays small: 1,440 rows a unit at a reading a minute. */
const LONGEST_SPAN_MS: number = 24 * HOUR_MS;

/** Units of one statement: their names make 5 KB of address at most. */
const MOST_UNITS = 50;

/** Times of one unit of which it is asked what is stored there; both ends included. */
export interface UnitSpan {
  readonly unit: UnitBatch;
  readonly firstMs: number;
  readonly lastMs: number;
}

/** Times that may exist already, of several units, asked for at once. */
interface Lookup {
  readonly units: readonly UnitBatch[];
  readonly fromMs: number;
  readonly toMs: number;
}

/** Cuts ascending times into spans that are short and have no long gaps. */
export function spansOf(unit: UnitBatch, timesMs: readonly number[]): UnitSpan[] {
  const spans: UnitSpan[] = [];
  let [firstMs, lastMs] = [timesMs[0], timesMs[0]];
  for (const atMs of timesMs) {
    if (firstMs === undefined || lastMs === undefined) break;
    if (atMs - lastMs > LONGEST_GAP_MS || atMs - firstMs > LONGEST_SPAN_MS) {
      spans.push({ unit, firstMs, lastMs });
      firstMs = atMs;
    }
    lastMs = atMs;
  }
  if (firstMs !== undefined && lastMs !== undefined) spans.push({ unit, firstMs, lastMs });
  return spans;
}

/** Spans of different units that begin and end in the same hours are asked for together. */
export function lookupsFor(spans: readonly UnitSpan[]): Lookup[] {
  const groups = new Map<string, UnitSpan[]>();
  for (const span of spans) {
    const key = `${Math.floor(span.firstMs / HOUR_MS)}/${Math.floor(span.lastMs / HOUR_MS)}`;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [span]);
    else group.push(span);
  }
  return [...groups.values()].flatMap((group) => {
    const lookups: Lookup[] = [];
    for (let at = 0; at < group.length; at += MOST_UNITS) {
      const part = group.slice(at, at + MOST_UNITS);
      lookups.push({
        units: [...new Set(part.map((one) => one.unit))],
        fromMs: part.reduce((least, one) => Math.min(least, one.firstMs), Infinity),
        toMs: part.reduce((most, one) => Math.max(most, one.lastMs), 0) + 1,
      });
    }
    return lookups;
  });
}

/** Marks in `seen` of each unit which channels are stored at the times that may exist already. */
export async function findStored(
  connection: InfluxConnection,
  spans: readonly UnitSpan[],
  mask: number,
): Promise<void> {
  const lookups = lookupsFor(spans);
  const statements = lookups.map(({ units, ...span }) => unitsRowsStatement(units, mask, span));
  const answers = await connection.query(statements);
  for (const [place, { units, toMs }] of lookups.entries()) {
    const known = new Map(units.map((one) => [`${one.site}/${one.unit}`, one]));
    for (const series of answers[place] ?? []) {
      const unit = known.get(`${series.tags['site']}/${series.tags['unit']}`);
      if (unit === undefined) continue;
      markStored(unit, series, series.values);
      if (series.values.length < MOST_ROWS) continue;
      const lastMs = numberAt(series.values.at(-1) ?? [], series.columns.indexOf('time')) ?? toMs;
      const rest = { fromMs: lastMs + 1, toMs };
      await eachRowPage(connection, unit, mask, rest, Infinity, (page, rows) =>
        markStored(unit, page, rows),
      );
    }
  }
}

function markStored(
  unit: UnitBatch,
  { columns }: AnswerSeries,
  rows: AnswerSeries['values'],
): void {
  const channels = columns.map((name) => channelIndex(name));
  const time = columns.indexOf('time');
  for (const row of rows) {
    const atMs = row[time];
    if (typeof atMs !== 'number') continue;
    let mask = unit.seen.get(atMs) ?? 0;
    for (const [place, channel] of channels.entries()) {
      if (channel !== undefined && typeof row[place] === 'number') mask |= 1 << channel;
    }
    unit.seen.set(atMs, mask);
  }
}
