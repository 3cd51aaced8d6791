import { StoreError } from '../ports/store-error.ts';
import type { PreparedThing, PrepareWishes } from '../ports/store-upkeep.ts';
import { findInflux } from './find-influx.ts';
import { askApi } from './influx-api.ts';
import { InfluxConnection, READ_TIMEOUT_MS } from './influx-connection.ts';
import type { InfluxOptions, KnownInflux } from './influx-options.ts';
import {
  type BucketState,
  isRefused,
  listIn,
  readBucketState,
  retentionHours,
  SHARD_HOURS,
} from './influx-retention.ts';
import {
  alterPolicyStatement,
  anythingBeforeStatement,
  createKeptDatabaseStatement,
} from './influxql.ts';
import { handSteps, thingName } from './prepare-steps.ts';

const HOUR_MS = 3_600_000;
const SECONDS_PER_HOUR = 3_600;

/**
 * Makes the bucket or database where there is none, and has the server keep it as long as is
 * wanted. What this user or token may not do, or the generation cannot, comes back as steps.
 * Doing it again changes nothing.
 *
 * @throws StoreError `STORE_UNAVAILABLE` when the server does not answer or is no InfluxDB.
 */
export async function prepareInfluxStore(
  options: InfluxOptions,
  wishes: PrepareWishes,
): Promise<readonly PreparedThing[]> {
  const known = await findInflux(options);
  const connection = new InfluxConnection(known, READ_TIMEOUT_MS);
  try {
    const state = await readBucketState(connection, known);
    const hours = retentionHours(wishes.retentionDays);
    const name = thingName(known);
    if (state === null) return [toDo(name, 'this sign-in may not see or make it', known, hours)];
    if (!state.exists) return await make(connection, known, hours);
    const kept: PreparedThing = { name, outcome: 'kept', words: 'is there', steps: [] };
    return [kept, await keepFor(connection, known, state, wishes), SUMS];
  } finally {
    connection.close();
  }
}

const SUMS: PreparedThing = {
  name: 'quarters of an hour',
  outcome: 'kept',
  words: "need nothing: 'lineside serve' sums them up, in the same place and kept as long",
  steps: [],
};

const RETENTION = 'retention';

async function make(
  connection: InfluxConnection,
  known: KnownInflux,
  hours: number,
): Promise<readonly PreparedThing[]> {
  const name = thingName(known);
  const refused = await tryMaking(connection, known, hours);
  if (refused !== null) return [toDo(name, refused, known, hours)];
  return [
    { name, outcome: 'made', words: 'is new and empty', steps: [] },
    { name: RETENTION, outcome: 'made', words: keeps(hours), steps: [] },
    SUMS,
  ];
}

/** Null when it worked, else the reason. */
async function tryMaking(
  connection: InfluxConnection,
  known: KnownInflux,
  hours: number,
): Promise<string | null> {
  const { generation, bucket, org } = known;
  if (generation === 1) {
    return unlessRefused(() =>
      connection.command(createKeptDatabaseStatement(bucket, hours, SHARD_HOURS)),
    );
  }
  if (generation === 3) {
    const wanted = { db: bucket, retention_period: `${hours}h` };
    const { status } = await askApi(known, 'POST', '/api/v3/configure/database', wanted);
    return status === 200 ? null : `the server answers ${status} to making it`;
  }
  const asked = new URLSearchParams({ org: org ?? '' });
  const orgs = await askApi(known, 'GET', `/api/v2/orgs?${asked}`);
  const orgID = listIn(orgs.body, 'orgs').find((one) => one['name'] === org)?.['id'];
  if (orgID === undefined) return `this token does not see the organisation '${org ?? ''}'`;
  const wanted = { orgID, name: bucket, retentionRules: [rule(hours)] };
  const { status } = await askApi(known, 'POST', '/api/v2/buckets', wanted);
  return status === 200 ? null : `the server answers ${status} to making it`;
}

function rule(hours: number): object {
  return {
    type: 'expire',
    everySeconds: hours * SECONDS_PER_HOUR,
    shardGroupDurationSeconds: SHARD_HOURS * SECONDS_PER_HOUR,
  };
}

/** Sets the retention, unless that deletes something and nobody has allowed it. */
async function keepFor(
  connection: InfluxConnection,
  known: KnownInflux,
  state: BucketState,
  { retentionDays, mayDelete, nowMs }: PrepareWishes,
): Promise<PreparedThing> {
  const hours = retentionHours(retentionDays);
  if (state.hours === hours) {
    return { name: RETENTION, outcome: 'kept', words: keeps(hours), steps: [] };
  }
  if (state.hours === undefined) {
    const words = `the server does not tell; it should be ${hours / 24} days`;
    return toDo(RETENTION, words, known, hours);
  }
  const before = state.hours === null ? 'for ever' : `${state.hours / 24} days`;
  const isShorter = state.hours === null || hours < state.hours;
  const cutMs = nowMs - hours * HOUR_MS;
  if (isShorter && !mayDelete && (await hasAnythingBefore(connection, cutMs))) {
    const day = new Date(cutMs).toISOString().slice(0, 10);
    const words =
      `is ${before} and should be ${hours / 24} days: the server would then delete everything in ` +
      `it from before ${day}, and there is something`;
    return {
      name: RETENTION,
      outcome: 'to do',
      words,
      steps: [
        `to allow it: lineside store prepare --delete-older; to keep it: a larger \
LINESIDE_RETENTION_DAYS than ${retentionDays}`,
      ],
    };
  }
  const refused = await tryChanging(connection, known, state, hours);
  if (refused !== null) return toDo(RETENTION, `is ${before}; ${refused}`, known, hours);
  const words = `${keeps(hours)}; it was ${before}`;
  return { name: RETENTION, outcome: 'changed', words, steps: [] };
}

/** Null when it worked, else the reason. */
async function tryChanging(
  connection: InfluxConnection,
  known: KnownInflux,
  { handle }: BucketState,
  hours: number,
): Promise<string | null> {
  if (known.generation === 1) {
    return unlessRefused(() =>
      connection.command(alterPolicyStatement(known.bucket, handle, hours, SHARD_HOURS)),
    );
  }
  const path = `/api/v2/buckets/${encodeURIComponent(handle)}`;
  const { status } = await askApi(known, 'PATCH', path, { retentionRules: [rule(hours)] });
  return status === 200 ? null : `the server answers ${status} to changing it`;
}

async function hasAnythingBefore(connection: InfluxConnection, cutMs: number): Promise<boolean> {
  const [found = []] = await connection.query([anythingBeforeStatement(cutMs)]);
  return found.length > 0;
}

async function unlessRefused(work: () => Promise<void>): Promise<string | null> {
  try {
    await work();
    return null;
  } catch (error) {
    if (error instanceof StoreError && isRefused(error)) return 'this sign-in may not do that';
    throw error;
  }
}

function keeps(hours: number): string {
  return `is ${hours / 24} days in storage periods of ${SHARD_HOURS / 24}`;
}

function toDo(name: string, words: string, known: KnownInflux, hours: number): PreparedThing {
  return { name, outcome: 'to do', words, steps: handSteps(known, hours) };
}
