import { StoreError } from '../ports/store-error.ts';
import { askApi } from './influx-api.ts';
import type { InfluxConnection } from './influx-connection.ts';
import type { KnownInflux } from './influx-options.ts';
import { retentionPoliciesStatement } from './influxql.ts';

const HOUR_MS = 3_600_000;
const HOURS_PER_DAY = 24;

/**
 * Days by which the server keeps readings longer than is wanted. Readings that are nearly too old
 * when they arrive may wait out an outage before they are written, and a server refuses what is
 * past its retention.
 */
const SPARE_DAYS = 7;

/**
 * A storage period of the server: the week that SQLite's files have as well. Ninety days touch
 * thirteen of them, and what is forgotten is forgotten in whole ones.
 */
export const SHARD_HOURS: number = 7 * HOURS_PER_DAY;

/** The retention to be set for so many days, in whole hours, which every generation can say. */
export function retentionHours(retentionDays: number): number {
  return (retentionDays + SPARE_DAYS) * HOURS_PER_DAY;
}

/** How the server keeps the bucket or database. */
export interface BucketState {
  readonly exists: boolean;
  /** Null: for ever. Undefined: the server does not tell. */
  readonly hours: number | null | undefined;
  /** What a change has to name: a retention policy, or a bucket's id. */
  readonly handle: string;
}

/** Null when the server does not let us see. @throws StoreError when it does not answer. */
export async function readBucketState(
  connection: InfluxConnection,
  known: KnownInflux,
): Promise<BucketState | null> {
  if (known.generation === 1) return readPolicy(connection, known);
  return known.generation === 2 ? readBucket(known) : readDatabases(known);
}

const ABSENT: BucketState = { exists: false, hours: undefined, handle: '' };

async function readPolicy(
  connection: InfluxConnection,
  { bucket }: KnownInflux,
): Promise<BucketState | null> {
  try {
    const [[series] = []] = await connection.query([retentionPoliciesStatement(bucket)]);
    const at = (name: string): number => series?.columns.indexOf(name) ?? -1;
    const row = series?.values.find((one) => one[at('default')] === true);
    if (row === undefined) return null;
    const hours = hoursOf(String(row[at('duration')]));
    return { exists: true, hours, handle: String(row[at('name')]) };
  } catch (error) {
    if (isUnknownUser(error)) throw error;
    if (isRefused(error)) return null;
    if (error instanceof StoreError && /database not found/i.test(error.message)) return ABSENT;
    throw error;
  }
}

/** Whether the sign-in itself is wrong, so that no right given to it would help. */
function isUnknownUser(error: unknown): boolean {
  return error instanceof StoreError && / 401 /.test(error.message);
}

/** Whether the server answered that this user or token may not do that. */
export function isRefused(error: unknown): boolean {
  if (!(error instanceof StoreError)) return false;
  return / 40[13] |not authorized|unable to parse authentication|admin privilege/i.test(
    error.message,
  );
}

/** `9768h0m0s` in hours; null for `0s`, which is for ever. */
function hoursOf(duration: string): number | null {
  const [, hours = '0', minutes = '0', seconds = '0'] =
    /^(?:(\d+)h)?(?:(\d+)m)?(?:(\d+)s)?$/.exec(duration) ?? [];
  const total = Number(hours) + Number(minutes) / 60 + Number(seconds) / 3_600;
  return total === 0 ? null : total;
}

async function readBucket(known: KnownInflux): Promise<BucketState | null> {
  const wanted = new URLSearchParams({ name: known.bucket, org: known.org ?? '' });
  const { status, body } = await askApi(known, 'GET', `/api/v2/buckets?${wanted}`);
  if (status === 404) return ABSENT;
  if (status !== 200) return null;
  const bucket = listIn(body, 'buckets').find((one) => one['name'] === known.bucket);
  if (bucket === undefined) return ABSENT;
  const [rule] = listIn(bucket, 'retentionRules');
  const seconds = Number(rule?.['everySeconds'] ?? 0);
  const hours = seconds === 0 ? null : (seconds * 1_000) / HOUR_MS;
  return { exists: true, hours, handle: String(bucket['id']) };
}

/** The third generation lists its databases and not how long it keeps them. */
async function readDatabases(known: KnownInflux): Promise<BucketState | null> {
  const { status, body } = await askApi(known, 'GET', '/api/v3/configure/database?format=json');
  if (status !== 200) return null;
  return textsIn(body).includes(known.bucket)
    ? { exists: true, hours: undefined, handle: '' }
    : ABSENT;
}

type Fields = Readonly<Record<string, unknown>>;

/** The objects of a list that an answer holds under that name. */
export function listIn(body: unknown, name: string): readonly Fields[] {
  if (!isObject(body)) return [];
  const list: unknown = body[name];
  return Array.isArray(list) ? list.filter(isObject) : [];
}

function isObject(value: unknown): value is Fields {
  return typeof value === 'object' && value !== null;
}

/** Every text in an answer: versions wrap the names of databases differently. */
function textsIn(value: unknown): readonly string[] {
  if (typeof value === 'string') return [value];
  return isObject(value) ? Object.values(value).flatMap(textsIn) : [];
}
