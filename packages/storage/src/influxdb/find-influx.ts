import { InfluxDB } from '@influxdata/influxdb-client';
import { StoreError } from '../ports/store-error.ts';
import { generationOf } from './generation.ts';
import { InfluxConnection, PAGE_TIMEOUT_MS, WRITE_TIMEOUT_MS } from './influx-connection.ts';
import { influxFailure } from './influx-failure.ts';
import type { InfluxOptions, KnownInflux } from './influx-options.ts';
import { createDatabaseStatement, probeStatement } from './influxql.ts';
import { retrying } from './retrying.ts';

/** Asks the server which generation it is. @throws StoreError `STORE_UNAVAILABLE`. */
export async function findInflux(options: InfluxOptions): Promise<KnownInflux> {
  const { url, token } = options;
  const where = new URL(url).host;
  const client = new InfluxDB({ url, timeout: PAGE_TIMEOUT_MS, ...(token ? { token } : {}) });
  let version: string | null = null;
  try {
    await retrying(() =>
      client.transport.request('/ping', '', { method: 'GET' }, (headers) => {
        const said = headers['x-influxdb-version'];
        version = typeof said === 'string' ? said : null;
      }),
    );
  } catch (error) {
    throw influxFailure(error, `InfluxDB at ${where}`);
  }
  return { ...options, generation: generationOf(version, where), version: version ?? '' };
}

/**
 * Makes the database where the server's generation has one to make, and asks something of it, so
 * that a wrong name or token is told at once. Buckets and their tokens are made by whoever keeps
 * the server; generation 3 makes a database at the first write.
 */
export async function prepareInflux(known: KnownInflux): Promise<void> {
  const connection = new InfluxConnection(known, WRITE_TIMEOUT_MS);
  try {
    if (known.generation === 1) await createDatabase(connection, known.bucket);
    if (known.generation !== 3) await connection.query([probeStatement()]);
  } finally {
    connection.close();
  }
}

/** A user who may not make databases may have been given one. */
async function createDatabase(connection: InfluxConnection, bucket: string): Promise<void> {
  try {
    await connection.command(createDatabaseStatement(bucket));
  } catch (error) {
    const refused = error instanceof StoreError && / 403 |not authorized/.test(error.message);
    if (!refused) throw error;
  }
}
