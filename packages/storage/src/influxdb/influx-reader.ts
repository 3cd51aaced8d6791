import { StoreError } from '../ports/store-error.ts';
import type {
  ExtremesQuery,
  QuarterSeries,
  QuartersQuery,
  RangeQuery,
  RangeResult,
  ReadingsQuery,
  UnitExtremes,
} from '../ports/telemetry-store.ts';
import type { PackedReadings } from '../sqlite/telemetry/packed-readings.ts';
import { rangeJsonBytes } from '../sqlite/telemetry/range-json.ts';
import type { WorkerAdapter } from '../worker/serve-worker.ts';
import { type Transferring, transferring } from '../worker/transferring.ts';
import { lacksOf } from './generation.ts';
import { InfluxConnection, PAGE_TIMEOUT_MS, READ_TIMEOUT_MS } from './influx-connection.ts';
import { readExtremes, readReadings } from './influx-fleet.ts';
import { readLatest } from './influx-latest.ts';
import type { KnownInflux } from './influx-options.ts';
import { readQuarters } from './influx-quarters.ts';
import { readRange } from './influx-range.ts';
import { probeStatement } from './influxql.ts';

/** Everything that asks InfluxDB; runs in a worker of its own, so that answers are parsed there. */
export class InfluxReader implements WorkerAdapter {
  readonly #known: KnownInflux;
  readonly #connection: InfluxConnection;
  readonly #looking: InfluxConnection;

  constructor(known: KnownInflux) {
    this.#known = known;
    this.#connection = new InfluxConnection(known, READ_TIMEOUT_MS);
    this.#looking = new InfluxConnection(known, PAGE_TIMEOUT_MS);
  }

  async range(query: RangeQuery): Promise<Transferring<RangeResult>> {
    const result = await readRange(this.#connection, query);
    const columns = result.series.flatMap((one) => [one.atMs, one.min, one.mean, one.max]);
    return transferring(
      result,
      columns.map((column) => column.buffer),
    );
  }

  async rangeJson(query: RangeQuery): Promise<Transferring<Uint8Array>> {
    const bytes = rangeJsonBytes(await readRange(this.#connection, query));
    return transferring(bytes, [bytes.buffer]);
  }

  async readings(query: ReadingsQuery): Promise<Transferring<PackedReadings>> {
    return moved(await readReadings(this.#connection, query));
  }

  async latest(): Promise<Transferring<PackedReadings>> {
    return moved(await readLatest(this.#connection, this.#known.generation, Date.now()));
  }

  extremes(query: ExtremesQuery): Promise<readonly UnitExtremes[]> {
    return readExtremes(this.#connection, query);
  }

  async quarters(
    queries: readonly QuartersQuery[],
  ): Promise<Transferring<readonly QuarterSeries[]>> {
    const series = await readQuarters(this.#connection, queries);
    const columns = series.flatMap((one) => [one.startMs, one.min, one.max, one.sum]);
    return transferring(
      series,
      columns.map((column) => column.buffer),
    );
  }

  /** A question of its own with a short time: the server must answer it whatever else it does. */
  async look(): Promise<void> {
    await this.#looking.query([probeStatement()]);
  }

  /** Always refused, with the reason. */
  backup(_folder: string): Promise<void> {
    const reason = lacksOf(this.#known.generation)['backup'] ?? '';
    return Promise.reject(new StoreError('STORE_BAD_INPUT', reason));
  }

  /** Nothing of the server is kept here. */
  forgetBefore(_beforeMs: number): void {}

  /** The end is near: what the server does not answer soon is given up. */
  hurry(): void {
    this.#connection.hurry();
    this.#looking.hurry();
  }

  close(): void {
    this.#connection.close();
    this.#looking.close();
  }
}

function moved(packed: PackedReadings): Transferring<PackedReadings> {
  return transferring(packed, [packed.rows.buffer]);
}
