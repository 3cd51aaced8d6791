import { StoreError } from '../ports/store-error.ts';

/** Generations of InfluxDB that differ in how they are written to and what they can forget. */
export type InfluxGeneration = 1 | 2 | 3;

/**
 * The generation by what the server says of itself in the header `X-Influxdb-Version` of its
 * answer to `/ping`: `1.8.10`, `v2.7.6`, `3.2.0`.
 *
 * @throws StoreError `STORE_UNAVAILABLE` when it is no InfluxDB, or one that nobody knows yet.
 */
export function generationOf(version: string | null, url: string): InfluxGeneration {
  const major = /^v?(\d+)\./.exec(version ?? '')?.[1];
  if (major === '1') return 1;
  if (major === '2') return 2;
  if (major === '3') return 3;
  const said = version === null ? 'does not say that it is InfluxDB' : `says '${version}'`;
  const message = `${url} ${said}; InfluxDB 1, 2 or 3 is needed`;
  throw new StoreError('STORE_UNAVAILABLE', message);
}

/**
 * Where lines are written to when it is not the client's own `/api/v2/write`: the first generation
 * answers 404 to that, and has a path of its own.
 */
export function writePath(generation: InfluxGeneration, bucket: string): string | null {
  if (generation !== 1) return null;
  return `/write?${new URLSearchParams({ db: bucket, precision: 'ms' })}`;
}

/**
 * How a token is shown. The first generation has no tokens: there it is `user:password`, shown as
 * RFC 7617 says; `null` leaves it to the client, which sends `Token …`.
 */
export function authorization(generation: InfluxGeneration, token: string | null): string | null {
  if (generation !== 1 || token === null) return null;
  return `Basic ${Buffer.from(token, 'utf8').toString('base64')}`;
}

/** Several statements in one request: the third generation takes one. */
export function statementsPerRequest(generation: InfluxGeneration): number {
  return generation === 3 ? 1 : MOST_STATEMENTS;
}

/** Twenty of the longest make 40 KB of address, far below the 1 MB that the server reads. */
const MOST_STATEMENTS = 20;

/** What the adapter cannot do on a server of that generation, each with the reason. */
export function lacksOf(generation: InfluxGeneration): Readonly<Record<string, string>> {
  const reasons: Record<string, string> = {
    backup: "InfluxDB is saved by its own tools ('influxd backup', 'influx backup')",
    wholeBatches:
      'InfluxDB has no transactions: of a batch that failed a part may be kept, ' +
      'and writing the batch again completes it',
    severalWriters:
      'InfluxDB overwrites equal times: the first stored value wins, and quarters of an hour hold ' +
      'what came late, only as long as one program at a time writes to the bucket',
    timesAfter2262: 'InfluxDB keeps times as 64-bit nanoseconds, which end on 2262-04-11',
  };
  if (generation === 3) {
    reasons['dropBefore'] =
      'InfluxDB 3 deletes no rows: give the database a retention period on the server instead';
  }
  return reasons;
}
