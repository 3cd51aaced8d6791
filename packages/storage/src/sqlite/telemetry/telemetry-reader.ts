import { StoreError } from '../../ports/store-error.ts';
import type {
  ExtremesQuery,
  QuarterSeries,
  QuartersQuery,
  RangeQuery,
  RangeResult,
  ReadingsQuery,
  UnitExtremes,
} from '../../ports/telemetry-store.ts';
import type { WorkerAdapter } from '../../worker/serve-worker.ts';
import { type Transferring, transferring } from '../../worker/transferring.ts';
import { readExtremes, readLatest, readReadings } from './fleet-queries.ts';
import type { PackedReadings } from './packed-readings.ts';
import { readQuarters } from './quarter-queries.ts';
import { rangeJsonBytes } from './range-json.ts';
import { readRange } from './range-query.ts';
import { WeekArchive } from './week-archive.ts';
import { backUpWeeks } from './week-backup.ts';

export interface TelemetryReaderOptions {
  readonly folder: string;
}

/** Everything that reads the weeks' files; runs in a worker of its own, beside the writer. */
export class TelemetryReader implements WorkerAdapter {
  readonly #folder: string;
  readonly #archive: WeekArchive;

  /** @throws StoreError `STORE_NEWER_SCHEMA` when any week was written by a newer program. */
  constructor(options: TelemetryReaderOptions) {
    this.#folder = options.folder;
    this.#archive = new WeekArchive(options.folder);
    try {
      this.#refuseNewer();
    } catch (error) {
      this.#archive.close();
      throw error;
    }
  }

  range(query: RangeQuery): Transferring<RangeResult> {
    const result = readRange(this.#archive, query);
    const columns = result.series.flatMap((one) => [one.atMs, one.min, one.mean, one.max]);
    return transferring(
      result,
      columns.map((column) => column.buffer),
    );
  }

  rangeJson(query: RangeQuery): Transferring<Uint8Array> {
    const bytes = rangeJsonBytes(readRange(this.#archive, query));
    return transferring(bytes, [bytes.buffer]);
  }

  readings(query: ReadingsQuery): Transferring<PackedReadings> {
    return moved(readReadings(this.#archive, query));
  }

  latest(): Transferring<PackedReadings> {
    return moved(readLatest(this.#archive));
  }

  extremes(query: ExtremesQuery): readonly UnitExtremes[] {
    return readExtremes(this.#archive, query);
  }

  quarters(queries: readonly QuartersQuery[]): Transferring<readonly QuarterSeries[]> {
    const series = readQuarters(this.#archive, queries);
    const columns = series.flatMap((one) => [one.startMs, one.min, one.max, one.sum]);
    return transferring(
      series,
      columns.map((column) => column.buffer),
    );
  }

  backup(folder: string): Promise<void> {
    return backUpWeeks(this.#archive, this.#folder, folder);
  }

  /** To be called when the weeks that end at or before `beforeMs` were deleted. */
  forgetBefore(beforeMs: number): void {
    this.#archive.closeBefore(beforeMs);
  }

  close(): void {
    this.#archive.close();
  }

  /** A damaged or foreign week does not keep the others from being used; it fails when asked for. */
  #refuseNewer(): void {
    for (const startMs of this.#archive.weeks()) {
      try {
        this.#archive.read(startMs, () => {});
      } catch (error) {
        if (error instanceof StoreError && error.code === 'STORE_NEWER_SCHEMA') throw error;
      }
    }
  }
}

function moved(packed: PackedReadings): Transferring<PackedReadings> {
  return transferring(packed, [packed.rows.buffer]);
}
