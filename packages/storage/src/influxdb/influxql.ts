import { ID_PATTERN } from '@lineside/readings';
import { channelAt, channelsIn } from '../sqlite/telemetry/channel-mask.ts';
import type { Span } from '../sqlite/telemetry/week.ts';
import { INFLUX_END_MS, MEASUREMENT } from './influx-options.ts';

/*
 * InfluxQL is kept to what all generations answer: SELECT of fields, min, max, sum and count,
 * WHERE on time and tags, GROUP BY time and tags, ORDER BY time, LIMIT.
 */

/**
 * Rows of a series that may be asked for at once. The first generation marks longer answers as cut
 * short, whole or not, and with nine channels these are 0.8 MB of JSON already.
 */
export const MOST_ROWS = 10_000;

/** A unit as the tags of its readings. */
export interface UnitTags {
  readonly site: string;
  readonly unit: string;
}

/** Whether readings can be stored under these names; there is no need to ask about others. */
export function areNames({ site, unit }: UnitTags): boolean {
  return ID_PATTERN.test(site) && ID_PATTERN.test(unit);
}

/**
 * A text in single quotes; quote, backslash and line break cannot end or break it.
 *
 * @throws RangeError for a carriage return or NUL, at which the server's scanner ends a text.
 */
export function literal(text: string): string {
  return `'${escaped(text, "'")}'`;
}

/** A name in double quotes, otherwise as `literal`. */
export function identifier(text: string): string {
  return `"${escaped(text, '"')}"`;
}

function escaped(text: string, quote: string): string {
  if (text.includes('\r') || text.includes('\0')) {
    throw new RangeError(`InfluxQL cannot say the text ${JSON.stringify(text)}`);
  }
  return text.replaceAll('\\', '\\\\').replaceAll(quote, `\\${quote}`).replaceAll('\n', '\\n');
}

/** A span cut to the times that InfluxDB knows. */
export function knownTimes({ fromMs, toMs }: Span): Span {
  const cutMs = Math.min(toMs, INFLUX_END_MS);
  return { fromMs: Math.min(fromMs, cutMs), toMs: cutMs };
}

/** Values as they are, oldest first; a row has the time and the channels of the mask. */
export function rowsStatement(
  { site, unit }: UnitTags,
  mask: number,
  span: Span,
  limit: number,
): string {
  const where = `${within(span)} AND ${ofUnit({ site, unit })}`;
  return `SELECT ${fields(mask)} FROM ${FROM} WHERE ${where} ORDER BY time ASC LIMIT ${limit}`;
}

/** Values of several units, oldest first, one series a unit of at most `MOST_ROWS` rows. */
export function unitsRowsStatement(units: readonly UnitTags[], mask: number, span: Span): string {
  const where = `${within(span)} AND (${units.map(ofUnit).join(' OR ')})`;
  return `SELECT ${fields(mask)} FROM ${FROM} WHERE ${where} GROUP BY ${TAGS} LIMIT ${MOST_ROWS}`;
}

/**
 * The newest row of every unit, or of those that are named, one series a unit. The server looks
 * into every storage period from `fromMs` on, so that a late beginning saves most of the work.
 */
export function newestStatement(
  mask: number,
  fromMs: number,
  units: readonly UnitTags[] | null = null,
): string {
  const of = units === null ? '' : ` AND (${units.map(ofUnit).join(' OR ')})`;
  const where = `time >= ${fromMs}ms${of}`;
  const order = 'ORDER BY time DESC LIMIT 1';
  return `SELECT ${fields(mask)} FROM ${FROM} WHERE ${where} GROUP BY ${TAGS} ${order}`;
}

/** The tags of every unit, from the index alone; generations 1 and 2. */
export function seriesStatement(): string {
  return `SHOW SERIES FROM ${FROM}`;
}

/** How many values each channel has, in one row; columns named by `aggregateColumn`. */
export function countsStatement(unit: UnitTags, mask: number, span: Span): string {
  const where = `${within(span)} AND ${ofUnit(unit)}`;
  return `SELECT ${aggregates(mask, ['count'])} FROM ${FROM} WHERE ${where}`;
}

/**
 * Minimum, maximum, sum and count of each bucket that has values, at most `MOST_ROWS`, oldest
 * first; columns named by `aggregateColumn`.
 */
export function bucketsStatement(
  { site, unit }: UnitTags,
  mask: number,
  span: Span,
  widthMs: number,
): string {
  const where = `${within(span)} AND ${ofUnit({ site, unit })}`;
  const columns = aggregates(mask, ['min', 'max', 'sum', 'count']);
  const oneBucket = Math.floor(span.fromMs / widthMs) === Math.floor((span.toMs - 1) / widthMs);
  // A width beyond 292 years is no duration any more; it is never needed beside another bucket.
  const grouped = oneBucket ? '' : ` GROUP BY time(${widthMs}ms) fill(none) LIMIT ${MOST_ROWS}`;
  return `SELECT ${columns} FROM ${FROM} WHERE ${where}${grouped}`;
}

/** Minimum and maximum over the span, one series a unit. */
export function extremesStatement(mask: number, span: Span): string {
  const columns = aggregates(mask, ['min', 'max']);
  return `SELECT ${columns} FROM ${FROM} WHERE ${within(span)} GROUP BY ${TAGS}`;
}

/** Forgets readings before the time. */
export function deleteStatement(beforeMs: number): string {
  return `DELETE FROM ${FROM} WHERE time < ${Math.min(beforeMs, INFLUX_END_MS)}ms`;
}

export function createDatabaseStatement(bucket: string): string {
  return `CREATE DATABASE ${identifier(bucket)}`;
}

export type Aggregate = 'min' | 'max' | 'sum' | 'count';

/** Name of the column that holds the channel's aggregate. */
export function aggregateColumn(channel: number, aggregate: Aggregate): string {
  return `${channelAt(channel)}_${aggregate}`;
}

const FROM: string = identifier(MEASUREMENT);
const TAGS = '"site", "unit"';

function within({ fromMs, toMs }: Span): string {
  return `time >= ${fromMs}ms AND time < ${toMs}ms`;
}

function ofUnit({ site, unit }: UnitTags): string {
  return `("site" = ${literal(site)} AND "unit" = ${literal(unit)})`;
}

function fields(mask: number): string {
  return channelsIn(mask)
    .map((channel) => identifier(channelAt(channel)))
    .join(', ');
}

function aggregates(mask: number, of: readonly Aggregate[]): string {
  return channelsIn(mask)
    .flatMap((channel) =>
      of.map((aggregate) => {
        const column = identifier(aggregateColumn(channel, aggregate));
        return `${aggregate}(${identifier(channelAt(channel))}) AS ${column}`;
      }),
    )
    .join(', ');
}
