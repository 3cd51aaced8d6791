import type { ChannelName } from '@lineside/readings';
import type { ExtremesQuery, ReadingsQuery, UnitExtremes } from '../ports/telemetry-store.ts';
import {
  ALL_CHANNELS,
  CHANNEL_COUNT,
  channelAt,
  channelsIn,
  maskOf,
} from '../sqlite/telemetry/channel-mask.ts';
import { type PackedReadings, RowPacker } from '../sqlite/telemetry/packed-readings.ts';
import { overlap, type Span } from '../sqlite/telemetry/week.ts';
import type { InfluxConnection } from './influx-connection.ts';
import { aggregateColumn, extremesStatement, knownTimes, type UnitTags } from './influxql.ts';
import { type AnswerSeries, columnPlaces, numberAt } from './query-answer.ts';
import { eachRowPage } from './row-pages.ts';
import { daySpan, type SummedUp, wholeQuarters } from './span-parts.ts';
import { readSummedUp } from './summed-up.ts';

/** Rows for which the first buffer of an answer has room; it grows. */
export const USUAL_ROWS = 1_000;

/** Of 500 units at a reading a minute 180,000 readings. */
const SHORTEST_PART_MS: number = 6 * 3_600_000;
const MOST_PARTS = 24;

/** Units of one statement: their names make 5 KB of address at most. */
const MOST_NAMED_UNITS = 50;

/** Raw readings of one unit, oldest first, at most `limit`. */
export async function readReadings(
  connection: InfluxConnection,
  query: ReadingsQuery,
): Promise<PackedReadings> {
  const { site, unit, limit } = query;
  const packer = new RowPacker(Math.min(limit, USUAL_ROWS));
  const place = packer.addUnit({ site, unit });
  const span = knownTimes(query);
  await eachRowPage(connection, { site, unit }, ALL_CHANNELS, span, limit, (series, rows) => {
    packRows(packer, place, series, rows);
  });
  return packer.packed();
}

/** Lowest and highest values of every unit that has any, in the order of site and unit. */
export async function readExtremes(
  connection: InfluxConnection,
  query: ExtremesQuery,
): Promise<UnitExtremes[]> {
  const mask = maskOf(query.channels);
  const span = knownTimes(query);
  if (mask === 0 || span.fromMs >= span.toMs) return [];
  const summed = await readSummedUp(connection, span, null);
  const statements = extremesStatements(mask, span, summed);
  const units = new Map<string, UnitExtremes & { readonly channels: MutableExtremes }>();
  for (const series of (await connection.query(statements, 1)).flat()) {
    const { site = '', unit = '' } = series.tags;
    const known = units.get(`${site}/${unit}`) ?? { site, unit, channels: {} };
    widen(known.channels, series, mask);
    if (Object.keys(known.channels).length > 0) units.set(`${site}/${unit}`, known);
  }
  return [...units.values()].sort((a, b) =>
    `${a.site}/${a.unit}` < `${b.site}/${b.unit}` ? -1 : 1,
  );
}

/**
 * From quarters where there are some, from readings beside them; and from readings of days whose
 * quarters lack late ones, whose values can only widen what those say.
 */
function extremesStatements(mask: number, span: Span, summed: SummedUp): string[] {
  const quarters = wholeQuarters(span, summed.beforeMs);
  if (quarters === null) return shortParts(span).map((part) => extremesStatement(mask, part));
  const beside = [
    { fromMs: span.fromMs, toMs: quarters.fromMs },
    { fromMs: quarters.toMs, toMs: span.toMs },
  ];
  return [
    extremesStatement(mask, quarters, 'quarters'),
    ...beside.flatMap(shortParts).map((part) => extremesStatement(mask, part)),
    ...lateExtremes(mask, quarters, summed.lateDays),
  ];
}

function lateExtremes(mask: number, quarters: Span, lateDays: SummedUp['lateDays']): string[] {
  const unitsOfDay = new Map<number, UnitTags[]>();
  for (const [key, days] of lateDays) {
    const [site = '', unit = ''] = key.split('/');
    for (const dayMs of days) {
      const units = unitsOfDay.get(dayMs);
      if (units === undefined) unitsOfDay.set(dayMs, [{ site, unit }]);
      else units.push({ site, unit });
    }
  }
  return [...unitsOfDay].flatMap(([dayMs, units]) => {
    const part = overlap(daySpan(dayMs), quarters);
    if (part === null) return [];
    return Array.from({ length: Math.ceil(units.length / MOST_NAMED_UNITS) }, (_, group) => {
      const from = group * MOST_NAMED_UNITS;
      const some = units.slice(from, from + MOST_NAMED_UNITS);
      return extremesStatement(mask, part, 'readings', some);
    });
  });
}

/** Parts that are asked for side by side, so that each is answered well before its time is up. */
function shortParts({ fromMs, toMs }: Span): Span[] {
  const stepMs = Math.max(SHORTEST_PART_MS, Math.ceil((toMs - fromMs) / MOST_PARTS));
  const parts: Span[] = [];
  for (let atMs = fromMs; atMs < toMs; atMs += stepMs) {
    parts.push({ fromMs: atMs, toMs: Math.min(atMs + stepMs, toMs) });
  }
  return parts;
}

type MutableExtremes = { [name in ChannelName]?: { min: number; max: number } };

function widen(channels: MutableExtremes, series: AnswerSeries, mask: number): void {
  const row = series.values[0] ?? [];
  for (const channel of channelsIn(mask)) {
    const columns = [aggregateColumn(channel, 'min'), aggregateColumn(channel, 'max')];
    const places = columnPlaces(series, columns);
    const [min = null, max = null] = places.map((place) => numberAt(row, place));
    if (min === null || max === null) continue;
    const known = channels[channelAt(channel)];
    channels[channelAt(channel)] = {
      min: Math.min(min, known?.min ?? min),
      max: Math.max(max, known?.max ?? max),
    };
  }
}

/** Adds rows of one unit to the packer. */
export function packRows(
  packer: RowPacker,
  unitPlace: number,
  series: AnswerSeries,
  rows: AnswerSeries['values'],
): void {
  const time = series.columns.indexOf('time');
  const places = columnPlaces(series, channelsIn(ALL_CHANNELS).map(channelAt));
  const values: (number | null)[] = new Array(CHANNEL_COUNT).fill(null);
  for (const row of rows) {
    let mask = 0;
    for (let channel = 0; channel < CHANNEL_COUNT; channel++) {
      const value = numberAt(row, places[channel] ?? -1);
      values[channel] = value;
      if (value !== null) mask |= 1 << channel;
    }
    if (mask !== 0) packer.addRow(unitPlace, numberAt(row, time) ?? 0, mask, values);
  }
}
