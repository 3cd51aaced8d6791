import type { Reading } from '@lineside/readings';
import { checkReadingsQuery } from '../../ports/check-telemetry-query.ts';
import type { ReadingsQuery } from '../../ports/telemetry-store.ts';
import { readReadings } from './fleet-queries.ts';
import { unpackReadings } from './packed-readings.ts';
import { WeekArchive } from './week-archive.ts';

/**
 * Reads stored readings on the calling thread, beside a store that another thread has open: for
 * workers that judge what they read, where a third thread would only carry it about.
 */
export class TelemetryReadings {
  readonly #archive: WeekArchive;

  constructor({ folder }: { readonly folder: string }) {
    this.#archive = new WeekArchive(folder);
  }

  /** Raw readings of one unit, oldest first, at most `limit`. Errors as in `TelemetryStore`. */
  readings(query: ReadingsQuery): readonly Reading[] {
    checkReadingsQuery(query);
    return unpackReadings(readReadings(this.#archive, query));
  }

  close(): void {
    this.#archive.close();
  }
}
