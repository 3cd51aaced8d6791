import type { StoreStatus } from '../ports/store-upkeep.ts';
import { ALL_CHANNELS, channelsIn, maskOf } from '../sqlite/telemetry/channel-mask.ts';
import type { Span } from '../sqlite/telemetry/week.ts';
import { findInflux } from './find-influx.ts';
import { lacksOf } from './generation.ts';
import { InfluxConnection, READ_TIMEOUT_MS } from './influx-connection.ts';
import { influxFailure } from './influx-failure.ts';
import { indexedUnits, readLatest } from './influx-latest.ts';
import type { InfluxOptions, KnownInflux } from './influx-options.ts';
import { readBucketState, retentionHours } from './influx-retention.ts';
import {
  aggregateColumn,
  allCountsStatement,
  diskStatement,
  lateDaysStatement,
  MOST_ROWS,
  oldestStatement,
  type Source,
  summedStatement,
} from './influxql.ts';
import { knownChannels, unlessUnknown } from './known-channels.ts';
import { numberAt } from './query-answer.ts';
import { beforeMsIn, timesOf } from './summed-up.ts';

/** Values are counted over so much at once: quarters of 500 units are 1.3 million rows. */
const COUNT_STEP_MS: number = 28 * 86_400_000;

/** How the store is. Never rejects: what is in the way stands in `failure`. */
export async function influxStatus(
  options: InfluxOptions,
  retentionDays: number,
  nowMs: number,
): Promise<StoreStatus> {
  const empty = emptyStatus(options, retentionDays);
  let known: KnownInflux;
  try {
    known = await findInflux(options);
  } catch (error) {
    return { ...empty, failure: words(error, options) };
  }
  const { generation, version } = known;
  const found = { ...empty, generation, version, lacks: lacksOf(generation) };
  const connection = new InfluxConnection(known, READ_TIMEOUT_MS);
  try {
    return { ...found, ...(await inside(connection, known, retentionDays, nowMs)) };
  } catch (error) {
    return { ...found, failure: words(error, options) };
  } finally {
    connection.close();
  }
}

function words(error: unknown, { url }: InfluxOptions): string {
  return influxFailure(error, `InfluxDB at ${new URL(url).host}`).message;
}

function emptyStatus({ url, bucket }: InfluxOptions, wantedDays: number): StoreStatus {
  return {
    kind: 'influxdb',
    where: `${bucket} at ${url}`,
    generation: null,
    version: null,
    failure: null,
    retention: { wantedDays, setDays: null, words: 'is not known' },
    units: null,
    values: null,
    readings: null,
    oldestMs: null,
    newestMs: null,
    bytes: null,
    freeBytes: null,
    sums: { beforeMs: null, lateDays: 0, words: 'are not known' },
    weeks: [],
    lacks: {},
  };
}

async function inside(
  connection: InfluxConnection,
  known: KnownInflux,
  retentionDays: number,
  nowMs: number,
): Promise<Partial<StoreStatus>> {
  const state = await readBucketState(connection, known);
  const retention = retentionStatus(state?.hours, retentionDays);
  if (state?.exists === false) {
    const failure = `there is no ${known.bucket} yet: run 'lineside store prepare'`;
    return { retention: { ...retention, words: 'is not set yet' }, failure };
  }
  const latest = await readLatest(connection, known.generation, nowMs);
  const units = (await indexedUnits(connection, known.generation)) ?? latest.units;
  const [[oldest] = [], summed = [], late = []] = await connection.query([
    oldestStatement(ALL_CHANNELS, 0),
    summedStatement(),
    lateDaysStatement(null, MOST_ROWS),
  ]);
  const oldestMs = oldest === undefined ? null : (timesOf(oldest)[0] ?? null);
  const newestMs = newestIn(latest);
  const beforeMs = beforeMsIn(summed);
  const counted =
    oldestMs === null || newestMs === null ? NONE : { fromMs: oldestMs, toMs: newestMs + 1 };
  return {
    retention,
    units: units.length,
    ...(await countValues(connection, counted, beforeMs)),
    oldestMs,
    newestMs,
    bytes: await bytesOnDisk(connection, known),
    sums: sumsStatus(beforeMs, late.flatMap(timesOf).length),
  };
}

const NONE: Span = { fromMs: 0, toMs: 0 };

function retentionStatus(
  hours: number | null | undefined,
  wantedDays: number,
): StoreStatus['retention'] {
  const wanted = retentionHours(wantedDays) / 24;
  if (hours === undefined) {
    return {
      wantedDays,
      setDays: null,
      words: `is not told by the server; ${wanted} days are wanted`,
    };
  }
  const setDays = hours === null ? null : hours / 24;
  if (setDays === wanted) {
    return { wantedDays, setDays, words: `is as wanted: the server forgets after ${wanted} days` };
  }
  const is =
    setDays === null ? 'the server keeps everything' : `the server forgets after ${setDays} days`;
  const words = `${is}, ${wanted} are wanted: run 'lineside store prepare'`;
  return { wantedDays, setDays, words };
}

function sumsStatus(beforeMs: number, lateDays: number): StoreStatus['sums'] {
  if (beforeMs === 0) {
    const words = "are not there yet: 'lineside serve' sums up every minute";
    return { beforeMs: null, lateDays, words };
  }
  const words = `are summed up before ${new Date(beforeMs).toISOString()}`;
  return { beforeMs, lateDays, words };
}

function newestIn({ rows, length }: Awaited<ReturnType<typeof readLatest>>): number | null {
  let newest: number | null = null;
  let at = 0;
  while (at < length) {
    newest = Math.max(newest ?? 0, rows[at + 1] ?? 0);
    at += 3 + channelsIn(rows[at + 2] ?? 0).length;
  }
  return newest;
}

/** From quarters as far as there are some, from readings after that. */
async function countValues(
  connection: InfluxConnection,
  span: Span,
  beforeMs: number,
): Promise<Pick<StoreStatus, 'values' | 'readings'>> {
  const mask = maskOf(await knownChannels(connection));
  const parts: { readonly span: Span; readonly source: Source }[] = [];
  const add = (fromMs: number, toMs: number, source: Source): void => {
    for (let atMs = fromMs; atMs < toMs; atMs += COUNT_STEP_MS) {
      parts.push({ span: { fromMs: atMs, toMs: Math.min(atMs + COUNT_STEP_MS, toMs) }, source });
    }
  };
  // From the beginning of the quarter that holds the oldest reading.
  add(Math.max(0, span.fromMs - 900_000), Math.min(span.toMs, beforeMs), 'quarters');
  add(Math.max(span.fromMs, beforeMs), span.toMs, 'readings');
  if (mask === 0 || span.toMs === 0) return { values: 0, readings: 0 };
  const counts = new Map<number, number>();
  const statements = parts.map((part) => allCountsStatement(mask, part.span, part.source));
  for (const series of (await connection.query(statements, 1)).flat()) {
    for (const channel of channelsIn(mask)) {
      const place = series.columns.indexOf(aggregateColumn(channel, 'count'));
      const count = numberAt(series.values[0] ?? [], place) ?? 0;
      counts.set(channel, (counts.get(channel) ?? 0) + count);
    }
  }
  const all = [...counts.values()];
  return { values: all.reduce((sum, one) => sum + one, 0), readings: Math.max(0, ...all) };
}

/** The first generation tells an administrator how large each of its storage periods is. */
async function bytesOnDisk(
  connection: InfluxConnection,
  { generation, bucket }: KnownInflux,
): Promise<number | null> {
  if (generation !== 1) return null;
  const found = await unlessUnknown(() => connection.query([diskStatement()])).catch(() => null);
  if (found === null) return null;
  return found
    .flat()
    .filter(({ tags }) => tags['database'] === bucket)
    .reduce((sum, { columns, values }) => {
      return sum + (numberAt(values[0] ?? [], columns.indexOf('diskBytes')) ?? 0);
    }, 0);
}
