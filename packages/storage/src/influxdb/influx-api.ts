import { HttpError, InfluxDB } from '@influxdata/influxdb-client';
import { authorization } from './generation.ts';
import { PAGE_TIMEOUT_MS } from './influx-connection.ts';
import { influxFailure } from './influx-failure.ts';
import type { KnownInflux } from './influx-options.ts';

/** An answer of the server's own interface for its upkeep. */
export interface ApiAnswer {
  /** 200 for every success. */
  readonly status: number;
  readonly body: unknown;
}

/**
 * Asks the interface by which buckets and databases are made, generations 2 and 3.
 *
 * @throws StoreError `STORE_UNAVAILABLE` when there is no answer at all.
 */
export async function askApi(
  known: KnownInflux,
  method: 'GET' | 'POST' | 'PATCH',
  path: string,
  body: unknown = '',
): Promise<ApiAnswer> {
  const { url, token, generation } = known;
  // The third generation wants another word before the token than the client's own.
  const shown = generation === 3 ? token && `Bearer ${token}` : authorization(generation, token);
  const client = new InfluxDB({
    url,
    timeout: PAGE_TIMEOUT_MS,
    ...(shown ? { headers: { authorization: shown } } : {}),
    ...(generation === 2 && token !== null ? { token } : {}),
  });
  try {
    const headers = { accept: 'application/json', 'content-type': 'application/json' };
    return { status: 200, body: await client.transport.request(path, body, { method, headers }) };
  } catch (error) {
    if (error instanceof HttpError) return { status: error.statusCode, body: jsonOf(error.body) };
    throw influxFailure(error, `InfluxDB at ${new URL(url).host}`);
  }
}

function jsonOf(text: string | undefined): unknown {
  try {
    return JSON.parse(text ?? 'null');
  } catch {
    return text ?? null;
  }
}
