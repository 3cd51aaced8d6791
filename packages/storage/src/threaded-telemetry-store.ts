import type { Reading } from '@lineside/readings';
import {
  checkExtremesQuery,
  checkQuartersQueries,
  checkRangeQuery,
  checkReadingsQuery,
  checkTime,
} from './ports/check-telemetry-query.ts';
import { StoreError } from './ports/store-error.ts';
import type {
  AppendReport,
  ExtremesQuery,
  QuarterSeries,
  QuartersQuery,
  RangeQuery,
  RangeResult,
  ReadingsQuery,
  SumUpReport,
  TelemetryStore,
  UnitExtremes,
} from './ports/telemetry-store.ts';
import {
  type PackedReadings,
  packReadings,
  unpackReadings,
} from './sqlite/telemetry/packed-readings.ts';
import { type Transferring, transferring } from './worker/transferring.ts';

/**
 * Readings of one batch. 100,000 with nine channels travel as 10 MB and take about a second to
 * store; larger batches would hold up the writing thread for nothing.
 */
export const APPEND_MOST_READINGS = 100_000;

/** The thread that writes. */
export interface WritingThread {
  readonly methods: {
    append(packed: Transferring<PackedReadings>): Promise<AppendReport>;
    dropBefore(beforeMs: number): Promise<void>;
  };
  close(): Promise<void>;
}

/** The thread that answers questions. */
export interface ReadingThread {
  readonly methods: {
    range(query: RangeQuery): Promise<RangeResult>;
    rangeJson(query: RangeQuery): Promise<Uint8Array>;
    readings(query: ReadingsQuery): Promise<PackedReadings>;
    latest(): Promise<PackedReadings>;
    extremes(query: ExtremesQuery): Promise<readonly UnitExtremes[]>;
    quarters(queries: readonly QuartersQuery[]): Promise<readonly QuarterSeries[]>;
    backup(folder: string): Promise<void>;
    forgetBefore(beforeMs: number): Promise<void>;
  };
  close(): Promise<void>;
}

/** What differs between stores. */
interface ThreadedTraits {
  readonly lacks?: Readonly<Record<string, string>>;
  readonly hurry?: () => Promise<unknown>;
  readonly sumUp?: (nowMs: number) => Promise<SumUpReport>;
  readonly look?: () => Promise<void>;
}

/**
 * A telemetry store behind two worker threads: one writes, one reads, and the caller's thread only
 * checks, packs and unpacks.
 */
export class ThreadedTelemetryStore implements TelemetryStore {
  readonly lacks: Readonly<Record<string, string>>;
  readonly sumUp?: (nowMs: number) => Promise<SumUpReport>;
  readonly look?: () => Promise<void>;
  readonly #writer: WritingThread;
  readonly #reader: ReadingThread;
  readonly #hurry: () => Promise<unknown>;
  #closed: Promise<void> | null = null;

  constructor(
    writer: WritingThread,
    reader: ReadingThread,
    { lacks = {}, hurry = async () => {}, sumUp, look }: ThreadedTraits = {},
  ) {
    this.#writer = writer;
    this.#reader = reader;
    this.#hurry = hurry;
    this.lacks = lacks;
    if (sumUp !== undefined) {
      this.sumUp = async (nowMs) => {
        this.#refuseClosed('sumUp');
        checkTime('nowMs', nowMs);
        return sumUp(nowMs);
      };
    }
    if (look !== undefined) {
      this.look = async () => {
        this.#refuseClosed('look');
        await look();
      };
    }
  }

  hurry(): void {
    // What cannot be told to a thread that has ended needs no telling.
    this.#hurry().catch(() => {});
  }

  async append(readings: readonly Reading[]): Promise<AppendReport> {
    this.#refuseClosed('append');
    if (readings.length > APPEND_MOST_READINGS) {
      const message = `${readings.length} readings in one batch, more than ${APPEND_MOST_READINGS}`;
      throw new StoreError('STORE_BAD_INPUT', message);
    }
    const packed = packReadings(readings);
    return this.#writer.methods.append(transferring(packed, [packed.rows.buffer]));
  }

  async range(query: RangeQuery): Promise<RangeResult> {
    this.#refuseClosed('range');
    checkRangeQuery(query);
    return this.#reader.methods.range(query);
  }

  async rangeJson(query: RangeQuery): Promise<Uint8Array> {
    this.#refuseClosed('rangeJson');
    checkRangeQuery(query);
    return this.#reader.methods.rangeJson(query);
  }

  async readings(query: ReadingsQuery): Promise<readonly Reading[]> {
    this.#refuseClosed('readings');
    checkReadingsQuery(query);
    return unpackReadings(await this.#reader.methods.readings(query));
  }

  async latest(): Promise<readonly Reading[]> {
    this.#refuseClosed('latest');
    return unpackReadings(await this.#reader.methods.latest());
  }

  async extremes(query: ExtremesQuery): Promise<readonly UnitExtremes[]> {
    this.#refuseClosed('extremes');
    checkExtremesQuery(query);
    return this.#reader.methods.extremes(query);
  }

  async quarters(queries: readonly QuartersQuery[]): Promise<readonly QuarterSeries[]> {
    this.#refuseClosed('quarters');
    checkQuartersQueries(queries);
    return this.#reader.methods.quarters(queries);
  }

  async dropBefore(beforeMs: number): Promise<void> {
    this.#refuseClosed('dropBefore');
    checkTime('beforeMs', beforeMs);
    await this.#writer.methods.dropBefore(beforeMs);
    await this.#reader.methods.forgetBefore(beforeMs);
  }

  async backup(folder: string): Promise<void> {
    this.#refuseClosed('backup');
    await this.#reader.methods.backup(folder);
  }

  close(): Promise<void> {
    this.hurry();
    this.#closed ??= this.#closeThreads();
    return this.#closed;
  }

  /** The writer last: closing the last connection to a file folds its log into it. */
  async #closeThreads(): Promise<void> {
    try {
      await this.#reader.close();
    } finally {
      await this.#writer.close();
    }
  }

  #refuseClosed(method: string): void {
    if (this.#closed === null) return;
    throw new StoreError('STORE_CLOSED', `The telemetry store was closed before ${method}`);
  }
}
