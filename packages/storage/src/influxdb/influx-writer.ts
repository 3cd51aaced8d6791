import { StoreError } from '../ports/store-error.ts';
import type { AppendReport } from '../ports/telemetry-store.ts';
import { ALL_CHANNELS } from '../sqlite/telemetry/channel-mask.ts';
import type { PackedReadings } from '../sqlite/telemetry/packed-readings.ts';
import { weekStart } from '../sqlite/telemetry/week.ts';
import type { WorkerAdapter } from '../worker/serve-worker.ts';
import { AppendBatch, type UnitBatch } from './append-batch.ts';
import { lacksOf } from './generation.ts';
import { InfluxConnection, WRITE_TIMEOUT_MS } from './influx-connection.ts';
import type { KnownInflux } from './influx-options.ts';
import { deleteStatement, newestStatement } from './influxql.ts';
import { columnPlaces, numberAt } from './query-answer.ts';
import { findStored, spansOf } from './stored-channels.ts';

/**
 * Batches that may wait for the one that is being written. Callers hold their readings until they
 * are stored, so that more of them means a server that does not keep up: those wait where they are.
 */
const APPENDS_MOST_WAITING = 64;

/**
 * Writes readings, one batch after another; runs in a worker of its own.
 *
 * InfluxDB overwrites: so that the first value wins, the channels stored at the times of a batch
 * are asked for before it is written, and only what is missing goes out. Times after the newest
 * that is stored of their unit cannot be there and are not asked for, which spares nearly all live
 * readings the question. The newest times are read once; after that this is the only writer.
 */
export class InfluxWriter implements WorkerAdapter {
  readonly #known: KnownInflux;
  readonly #connection: InfluxConnection;
  /** Newest event time of each unit that was written, or that writing was tried for. */
  #newestMs: Map<string, number> | null = null;
  #last: Promise<unknown> = Promise.resolve();
  #waiting = 0;

  constructor(known: KnownInflux) {
    this.#known = known;
    this.#connection = new InfluxConnection(known, WRITE_TIMEOUT_MS);
  }

  append(packed: PackedReadings): Promise<AppendReport> {
    if (this.#waiting >= APPENDS_MOST_WAITING) {
      const message = `${APPENDS_MOST_WAITING} batches wait for InfluxDB already; try again later`;
      return Promise.reject(new StoreError('STORE_UNAVAILABLE', message));
    }
    return this.#afterOthers(() => this.#append(packed));
  }

  /** Forgets whole weeks, which are the server's own storage periods. */
  dropBefore(beforeMs: number): Promise<void> {
    const reason = lacksOf(this.#known.generation)['dropBefore'];
    if (reason !== undefined) return Promise.reject(new StoreError('STORE_BAD_INPUT', reason));
    const startMs = weekStart(beforeMs);
    return this.#afterOthers(async () => {
      if (startMs > 0) await this.#connection.command(deleteStatement(startMs));
    });
  }

  close(): void {
    this.#connection.close();
  }

  async #append(packed: PackedReadings): Promise<AppendReport> {
    const batch = new AppendBatch(packed);
    const newestMs = await this.#newest();
    const markOf = (unit: UnitBatch): number => newestMs.get(keyOf(unit)) ?? -1;
    const times = batch.timesUpTo(markOf);
    const spans = [...times].flatMap(([unit, ofUnit]) => spansOf(unit, ofUnit));
    if (spans.length > 0) await findStored(this.#connection, spans, batch.mask);
    const { lines, report } = batch.lines();
    // Before writing: what fails may be stored all the same.
    for (const unit of batch.units) {
      newestMs.set(keyOf(unit), Math.max(unit.newestMs, markOf(unit)));
    }
    await this.#connection.write(lines);
    return report;
  }

  async #newest(): Promise<Map<string, number>> {
    if (this.#newestMs !== null) return this.#newestMs;
    const found = new Map<string, number>();
    const [all = []] = await this.#connection.query([newestStatement(ALL_CHANNELS)]);
    for (const series of all) {
      const [time = -1] = columnPlaces(series, ['time']);
      for (const row of series.values) {
        found.set(`${series.tags['site']}/${series.tags['unit']}`, numberAt(row, time) ?? -1);
      }
    }
    this.#newestMs = found;
    return found;
  }

  async #afterOthers<T>(work: () => Promise<T>): Promise<T> {
    this.#waiting += 1;
    const result = this.#last.then(work);
    this.#last = result.catch(() => {});
    try {
      return await result;
    } finally {
      this.#waiting -= 1;
    }
  }
}

function keyOf({ site, unit }: UnitBatch): string {
  return `${site}/${unit}`;
}
