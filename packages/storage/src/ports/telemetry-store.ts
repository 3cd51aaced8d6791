import type { ChannelName, Reading } from '@lineside/readings';

/**
 * The door to readings. Every adapter passes `tests/contracts/telemetry-contract.ts`.
 *
 * All times are event times in milliseconds; ranges are half open, `fromMs <= t < toMs`.
 */
export interface TelemetryStore {
  /** What this adapter cannot do, each with the reason; empty when it does all. */
  readonly lacks: Readonly<Record<string, string>>;

  /**
   * Stores readings and resolves when they are durable, rollups included. Idempotent on (site,
   * unit, channel, event time): the first stored value wins. All of the batch or nothing.
   * Rejects with `StoreError` (code `STORE_FULL`, `STORE_UNAVAILABLE`, `STORE_CLOSED`).
   */
  append(readings: readonly Reading[]): Promise<AppendReport>;

  /** Minimum, mean and maximum a bucket; raw points where they are no more than `points`. */
  range(query: RangeQuery): Promise<RangeResult>;

  /**
   * `range` as the UTF-8 JSON body of the HTTP answer,
   * `{"channels":{"leak":{"unit":"A","points":[[t,min,mean,max],…]}}}`, so that a large answer is
   * built off the main thread.
   */
  rangeJson(query: RangeQuery): Promise<Uint8Array>;

  /** Raw readings of one unit, oldest first, at most `limit`. */
  readings(query: ReadingsQuery): Promise<readonly Reading[]>;

  /** The newest reading of every unit that has one, outdoor stations included. */
  latest(): Promise<readonly Reading[]>;

  /** Lowest and highest value of the named channels within the window, for every unit with data. */
  extremes(query: ExtremesQuery): Promise<readonly UnitExtremes[]>;

  /**
   * Quarters of an hour that start within the spans, each whole: one entry a query and channel with
   * values, in the order of the queries and then of the channels in storage. Off the main thread,
   * from rollups where there are some. At most `QUARTERS_MOST_QUERIES` queries.
   */
  quarters(queries: readonly QuartersQuery[]): Promise<readonly QuarterSeries[]>;

  /** Forgets whole storage periods that end before `beforeMs`; younger readings stay. */
  dropBefore(beforeMs: number): Promise<void>;

  /**
   * Brings sums that are kept beside the readings up to date, where `append` does not do so; answers
   * are the same before and after, only slower before. To be called every minute by the one program
   * that writes. Can end at any moment: the next call does again what was not done.
   */
  sumUp?(nowMs: number): Promise<SumUpReport>;

  /**
   * Asks the server next to nothing, to see whether it answers. Rejects with `StoreError`, after
   * some tries. Stores without a server need not have it.
   */
  look?(): Promise<void>;

  /** Copies a consistent state of the store into the folder, while writing goes on. */
  backup(folder: string): Promise<void>;

  /**
   * Told before the end: where a server does not answer, questions and writes are given up after
   * a moment and reject, so that nothing waits for it. Stores without a server need not have it.
   */
  hurry?(): void;

  close(): Promise<void>;
}

export interface AppendReport {
  /** Channel values that were new. */
  readonly storedValues: number;
  /** Channel values that were there already (same or different value). */
  readonly duplicateValues: number;
}

export interface SumUpReport {
  /** Quarters of an hour that end at or before it are summed up; 0 when none are. */
  readonly beforeMs: number;
  /** Quarters of units that this call has written. */
  readonly quarters: number;
}

export interface RangeQuery {
  readonly site: string;
  readonly unit: string;
  readonly fromMs: number;
  readonly toMs: number;
  /** null: every channel that has data. */
  readonly channels: readonly ChannelName[] | null;
  /** The most points a channel, 1 to 20,000. */
  readonly points: number;
}

/** Columns of equal length, oldest first; with raw points min, mean and max are equal. */
export interface ChannelSeries {
  readonly channel: ChannelName;
  /** Event time of a raw point, start of a bucket. */
  readonly atMs: Float64Array;
  readonly min: Float64Array;
  readonly mean: Float64Array;
  readonly max: Float64Array;
}

export interface RangeResult {
  /** Width of a bucket in ms, 0 for raw points. Buckets start at multiples of it since 1970. */
  readonly bucketMs: number;
  readonly series: readonly ChannelSeries[];
}

export interface ReadingsQuery {
  readonly site: string;
  readonly unit: string;
  readonly fromMs: number;
  readonly toMs: number;
  readonly limit: number;
}

export interface ExtremesQuery {
  readonly fromMs: number;
  readonly toMs: number;
  readonly channels: readonly ChannelName[];
}

export interface UnitExtremes {
  readonly site: string;
  readonly unit: string;
  readonly channels: {
    readonly [name in ChannelName]?: { readonly min: number; readonly max: number };
  };
}

/** Spans of quarters of one call: a year of storms at a hundred stations needs fewer. */
export const QUARTERS_MOST_QUERIES = 10_000;

export interface QuartersQuery {
  readonly site: string;
  readonly unit: string;
  readonly fromMs: number;
  readonly toMs: number;
  readonly channels: readonly ChannelName[];
}

/** Columns of equal length, oldest first, one row a quarter that has values of the channel. */
export interface QuarterSeries {
  readonly site: string;
  readonly unit: string;
  readonly channel: ChannelName;
  /** Start of the quarter, a multiple of 900,000 ms. */
  readonly startMs: Float64Array;
  readonly min: Float64Array;
  readonly max: Float64Array;
  readonly sum: Float64Array;
}
