import type { Reading } from '@lineside/readings';
import { checkReadingsQuery } from '../ports/check-telemetry-query.ts';
import type { ReadingsQuery } from '../ports/telemetry-store.ts';
import { unpackReadings } from '../sqlite/telemetry/packed-readings.ts';
import { InfluxConnection, PAGE_TIMEOUT_MS } from './influx-connection.ts';
import { readReadings } from './influx-fleet.ts';
import type { KnownInflux } from './influx-options.ts';

/** Reads stored readings on the calling thread. */
export class InfluxReadings {
  readonly #connection: InfluxConnection;

  constructor(known: KnownInflux) {
    this.#connection = new InfluxConnection(known, PAGE_TIMEOUT_MS);
  }

  /** Raw readings of one unit, oldest first, at most `limit`. Errors as in `TelemetryStore`. */
  async readings(query: ReadingsQuery): Promise<readonly Reading[]> {
    checkReadingsQuery(query);
    return unpackReadings(await readReadings(this.#connection, query));
  }

  close(): void {
    this.#connection.close();
  }
}
