import { ID_PATTERN } from '@lineside/readings';
import { channelAt, channelsIn } from '../sqlite/telemetry/channel-mask.ts';
import { QUARTER_MS, type Span } from '../sqlite/telemetry/week.ts';
import {
  INFLUX_END_MS,
  LATE_MEASUREMENT,
  MEASUREMENT,
  QUARTER_MEASUREMENT,
  SUMMED_MEASUREMENT,
} from './influx-options.ts';

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

/** Values of those units or of all, oldest first, a series a unit of at most `MOST_ROWS` rows. */
export function unitsRowsStatement(
  units: readonly UnitTags[] | null,
  mask: number,
  span: Span,
): string {
  const where = `${within(span)}${ofAny(units)}`;
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
  const where = `time >= ${fromMs}ms${ofAny(units)}`;
  const order = 'ORDER BY time DESC LIMIT 1';
  return `SELECT ${fields(mask)} FROM ${FROM} WHERE ${where} GROUP BY ${TAGS} ${order}`;
}

/** Next to no work: no storage period with anything in it is looked into, for one channel. */
export function probeStatement(): string {
  return newestStatement(1, INFLUX_END_MS - 1);
}

/** The tags of every unit, from the index alone; generations 1 and 2. */
export function seriesStatement(): string {
  return `SHOW SERIES FROM ${FROM}`;
}

/** The names of the channels that have ever been written, from the index alone. */
export function channelsStatement(): string {
  return `SHOW FIELD KEYS FROM ${FROM}`;
}

/** The oldest row of all from that time on. */
export function oldestStatement(mask: number, fromMs: number): string {
  return `SELECT ${fields(mask)} FROM ${FROM} WHERE time >= ${fromMs}ms ORDER BY time ASC LIMIT 1`;
}

/** How many values each channel has, in one row; columns named by `aggregateColumn`. */
export function countsStatement(
  unit: UnitTags,
  mask: number,
  span: Span,
  source: Source = 'readings',
): string {
  const where = `${within(span)} AND ${ofUnit(unit)}`;
  return `SELECT ${aggregates(mask, ['count'], source)} FROM ${TABLES[source]} WHERE ${where}`;
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
  source: Source = 'readings',
): string {
  const where = `${within(span)} AND ${ofUnit({ site, unit })}`;
  if (source === 'quarters' && widthMs === QUARTER_MS) {
    return `SELECT ${quarterFields(mask)} FROM ${TABLES[source]} WHERE ${where} LIMIT ${MOST_ROWS}`;
  }
  const columns = aggregates(mask, ['min', 'max', 'sum', 'count'], source);
  const oneBucket = Math.floor(span.fromMs / widthMs) === Math.floor((span.toMs - 1) / widthMs);
  // A width beyond 292 years is no duration any more; it is never needed beside another bucket.
  const grouped = oneBucket ? '' : ` GROUP BY time(${widthMs}ms) fill(none) LIMIT ${MOST_ROWS}`;
  return `SELECT ${columns} FROM ${TABLES[source]} WHERE ${where}${grouped}`;
}

/** Minimum and maximum over the span, one series a unit: of all, or of those that are named. */
export function extremesStatement(
  mask: number,
  span: Span,
  source: Source = 'readings',
  units: readonly UnitTags[] | null = null,
): string {
  const columns = aggregates(mask, ['min', 'max'], source);
  const where = `${within(span)}${ofAny(units)}`;
  return `SELECT ${columns} FROM ${TABLES[source]} WHERE ${where} GROUP BY ${TAGS}`;
}

/** How far quarters are summed up, in the newest row. */
export function summedStatement(): string {
  const from = identifier(SUMMED_MEASUREMENT);
  return `SELECT "before" FROM ${from} ORDER BY time DESC LIMIT 1`;
}

/** Days whose quarters lack late readings, one series a unit of at most `limit` rows. */
export function lateDaysStatement(
  span: Span | null,
  limit: number,
  units: readonly UnitTags[] | null = null,
): string {
  const when = span === null ? '' : ` AND ${within(span)}`;
  const where = `"open" > 0${when}${ofAny(units)}`;
  const from = identifier(LATE_MEASUREMENT);
  return `SELECT "open" FROM ${from} WHERE ${where} GROUP BY ${TAGS} LIMIT ${limit}`;
}

/** Forgets readings before the time, and what was summed up of them. */
export function deleteStatements(beforeMs: number): readonly string[] {
  const cutMs = Math.min(beforeMs, INFLUX_END_MS);
  const names = [MEASUREMENT, QUARTER_MEASUREMENT, LATE_MEASUREMENT];
  return names.map((name) => `DELETE FROM ${identifier(name)} WHERE time < ${cutMs}ms`);
}

export function createDatabaseStatement(bucket: string): string {
  return `CREATE DATABASE ${identifier(bucket)}`;
}

/** Makes a database that forgets what is older; the policy has the name of the usual one. */
export function createKeptDatabaseStatement(
  bucket: string,
  hours: number,
  shardHours: number,
): string {
  const kept = `DURATION ${hours}h REPLICATION 1 SHARD DURATION ${shardHours}h`;
  return `CREATE DATABASE ${identifier(bucket)} WITH ${kept} NAME "autogen"`;
}

export function alterPolicyStatement(
  bucket: string,
  policy: string,
  hours: number,
  shardHours: number,
): string {
  const of = `${identifier(policy)} ON ${identifier(bucket)}`;
  return `ALTER RETENTION POLICY ${of} DURATION ${hours}h SHARD DURATION ${shardHours}h`;
}

export function retentionPoliciesStatement(bucket: string): string {
  return `SHOW RETENTION POLICIES ON ${identifier(bucket)}`;
}

/** A row of each measurement that has any before the time, ours or not. */
export function anythingBeforeStatement(beforeMs: number): string {
  return `SELECT * FROM /.*/ WHERE time < ${beforeMs}ms LIMIT 1`;
}

/** How many values each channel has, of all units. */
export function allCountsStatement(mask: number, span: Span, source: Source): string {
  return `SELECT ${aggregates(mask, ['count'], source)} FROM ${TABLES[source]} WHERE ${within(span)}`;
}

/** Sizes of the storage periods of all databases; generation 1, administrators only. */
export function diskStatement(): string {
  return "SHOW STATS FOR 'shard'";
}

export type Aggregate = 'min' | 'max' | 'sum' | 'count';

/** Name of the column that holds the channel's aggregate. */
export function aggregateColumn(channel: number, aggregate: Aggregate): string {
  return `${channelAt(channel)}_${aggregate}`;
}

/** Values come from the readings themselves, or from the quarters that they were summed up to. */
export type Source = 'readings' | 'quarters';

const FROM: string = identifier(MEASUREMENT);
const TABLES: Readonly<Record<Source, string>> = {
  readings: FROM,
  quarters: identifier(QUARTER_MEASUREMENT),
};
const TAGS = '"site", "unit"';

function within({ fromMs, toMs }: Span): string {
  return `time >= ${fromMs}ms AND time < ${toMs}ms`;
}

function ofUnit({ site, unit }: UnitTags): string {
  return `("site" = ${literal(site)} AND "unit" = ${literal(unit)})`;
}

function ofAny(units: readonly UnitTags[] | null): string {
  return units === null ? '' : ` AND (${units.map(ofUnit).join(' OR ')})`;
}

function fields(mask: number): string {
  return channelsIn(mask)
    .map((channel) => identifier(channelAt(channel)))
    .join(', ');
}

function aggregates(mask: number, of: readonly Aggregate[], source: Source): string {
  return channelsIn(mask)
    .flatMap((channel) =>
      of.map((aggregate) => {
        const column = identifier(aggregateColumn(channel, aggregate));
        return `${aggregated(channel, aggregate, source)} AS ${column}`;
      }),
    )
    .join(', ');
}

/** Quarters as they are, which is quicker than to sum up each one alone. */
function quarterFields(mask: number): string {
  return channelsIn(mask)
    .flatMap((channel) =>
      (['min', 'max', 'sum', 'count'] as const).map((aggregate) => {
        const column = identifier(aggregateColumn(channel, aggregate));
        return `${identifier(quarterField(channel, aggregate))} AS ${column}`;
      }),
    )
    .join(', ');
}

function aggregated(channel: number, aggregate: Aggregate, source: Source): string {
  if (source === 'readings') return `${aggregate}(${identifier(channelAt(channel))})`;
  const over = aggregate === 'count' ? 'sum' : aggregate;
  return `${over}(${identifier(quarterField(channel, aggregate))})`;
}

/** Name of the field of a quarter. */
export function quarterField(channel: number, aggregate: Aggregate): string {
  return `${channelAt(channel)}_${aggregate === 'count' ? 'n' : aggregate}`;
}
