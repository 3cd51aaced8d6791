import type { Reading } from '@lineside/readings';
import { findInflux } from './influxdb/find-influx.ts';
import type { InfluxOptions } from './influxdb/influx-options.ts';
import { InfluxReadings } from './influxdb/influx-readings.ts';
import { openInfluxStore } from './influxdb/open-influx-store.ts';
import type { ReadingsQuery, TelemetryStore } from './ports/telemetry-store.ts';
import { openTelemetryStore } from './sqlite/telemetry/open-telemetry-store.ts';
import { TelemetryReadings } from './sqlite/telemetry/telemetry-readings.ts';

/** Where telemetry is kept; plain data, so that another thread can open it as well. */
export type TelemetrySource =
  | { readonly kind: 'sqlite'; readonly folder: string }
  | { readonly kind: 'influxdb'; readonly server: InfluxOptions };

/**
 * Stored readings, asked for on the calling thread beside a store that another thread has open:
 * for workers that judge what they read, where a further thread would only carry it about.
 */
export interface ReadingsDoor {
  /** Raw readings of one unit, oldest first, at most `limit`. Errors as in `TelemetryStore`. */
  readings(query: ReadingsQuery): Promise<readonly Reading[]>;
  close(): void;
}

/** Opens the store. Errors as `openTelemetryStore` and `openInfluxStore` say. */
export function openTelemetry(source: TelemetrySource): Promise<TelemetryStore> {
  return source.kind === 'sqlite'
    ? openTelemetryStore({ folder: source.folder })
    : openInfluxStore(source.server);
}

/** Opens a way to the readings of a store. @throws StoreError when its server does not answer. */
export async function openReadings(source: TelemetrySource): Promise<ReadingsDoor> {
  if (source.kind === 'influxdb') return new InfluxReadings(await findInflux(source.server));
  const files = new TelemetryReadings({ folder: source.folder });
  return { readings: async (query) => files.readings(query), close: () => files.close() };
}
