import { StoreError } from '../ports/store-error.ts';
import type { AppendReport, SumUpReport } from '../ports/telemetry-store.ts';
import type { PackedReadings } from '../sqlite/telemetry/packed-readings.ts';
import { weekStart } from '../sqlite/telemetry/week.ts';
import type { WorkerAdapter } from '../worker/serve-worker.ts';
import { AppendBatch } from './append-batch.ts';
import { lacksOf } from './generation.ts';
import { InfluxConnection, READ_TIMEOUT_MS, WRITE_TIMEOUT_MS } from './influx-connection.ts';
import type { KnownInflux } from './influx-options.ts';
import { deleteStatements } from './influxql.ts';
import { LateDays } from './late-days.ts';
import { NewestTimes } from './newest-times.ts';
import { QuarterSummer } from './quarter-summer.ts';
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
 * readings the question. From there on this is the only writer.
 */
export class InfluxWriter implements WorkerAdapter {
  readonly #known: KnownInflux;
  readonly #connection: InfluxConnection;
  /** Of its own, so that writes do not wait for sums, and sums may take their time. */
  readonly #summing: InfluxConnection;
  readonly #newest = new NewestTimes();
  readonly #late: LateDays;
  readonly #summer: QuarterSummer;
  #sums: Promise<SumUpReport> | null = null;
  #last: Promise<unknown> = Promise.resolve();
  #waiting = 0;

  constructor(known: KnownInflux) {
    this.#known = known;
    this.#connection = new InfluxConnection(known, WRITE_TIMEOUT_MS);
    this.#summing = new InfluxConnection(known, READ_TIMEOUT_MS);
    this.#late = new LateDays(this.#connection);
    this.#summer = new QuarterSummer(this.#summing, known.generation, this.#late, (work) =>
      this.#afterOthers(work),
    );
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
      if (startMs === 0) return;
      for (const statement of deleteStatements(startMs)) await this.#connection.command(statement);
    });
  }

  /** Sums readings up to quarters; a call while another runs has the same outcome. */
  async sumUp(nowMs: number): Promise<SumUpReport> {
    this.#sums ??= this.#summer.sumUp(nowMs);
    try {
      return await this.#sums;
    } finally {
      this.#sums = null;
    }
  }

  /** The end is near: what the server does not answer soon is given up. */
  hurry(): void {
    this.#summer.end();
    this.#connection.hurry();
    this.#summing.hurry();
  }

  close(): void {
    this.#connection.close();
    this.#summing.close();
  }

  async #append(packed: PackedReadings): Promise<AppendReport> {
    const batch = new AppendBatch(packed);
    const newest = this.#newest;
    await newest.learn(this.#connection, batch.units);
    const times = batch.timesUpTo((unit) => newest.of(unit));
    const spans = [...times].flatMap(([unit, ofUnit]) => spansOf(unit, ofUnit));
    if (spans.length > 0) await findStored(this.#connection, spans, batch.mask);
    const { lines, report } = batch.lines();
    // Before writing: what fails may be stored all the same.
    for (const unit of batch.units) newest.raise(unit, unit.newestMs);
    await this.#late.mark(batch.lateDays(await this.#late.lateBeforeMs()));
    await this.#connection.write(lines);
    return report;
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
