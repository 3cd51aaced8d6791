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
import type { Span } from '../sqlite/telemetry/week.ts';
import type { InfluxConnection } from './influx-connection.ts';
import { aggregateColumn, extremesStatement, knownTimes } from './influxql.ts';
import { type AnswerSeries, columnPlaces, numberAt } from './query-answer.ts';
import { eachRowPage } from './row-pages.ts';

/** Rows for which the first buffer of an answer has room; it grows. */
export const USUAL_ROWS = 1_000;

/** Of 500 units at a reading a minute 180,000 readings. */
const SHORTEST_PART_MS: number = 6 * 3_600_000;
const MOST_PARTS = 24;

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
  const statements = partsOf(span).map((part) => extremesStatement(mask, part));
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

/** Parts that are asked for side by side, so that each is answered well before its time is up. */
function partsOf({ fromMs, toMs }: Span): Span[] {
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
