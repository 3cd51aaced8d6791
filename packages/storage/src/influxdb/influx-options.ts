import type { InfluxGeneration } from './generation.ts';

/** Which InfluxDB, and where in it. */
export interface InfluxOptions {
  /** Address of the server, for example `http://127.0.0.1:8086`. */
  readonly url: string;
  /** Generations 2 and 3: a token that may read and write. 1: `user:password`. Null: none. */
  readonly token: string | null;
  /** Organisation, where the generation has them. */
  readonly org: string | null;
  /** Bucket, or database in generations 1 and 3. */
  readonly bucket: string;
}

/** Options of a server whose generation is known; plain data, for other threads. */
export interface KnownInflux extends InfluxOptions {
  readonly generation: InfluxGeneration;
  /** What the server says of itself. */
  readonly version: string;
}

/** Measurement that all readings are in, with the tags `site` and `unit`, a field a channel. */
export const MEASUREMENT = 'reading';

/**
 * Measurement of quarters of an hour, at their starts, with the same tags: of each channel the
 * fields `leak_min`, `leak_max`, `leak_sum` and `leak_n`.
 */
export const QUARTER_MEASUREMENT = 'quarter';

/** Days of a unit whose quarters lack what came late: field `open`, 1 until they are redone. */
export const LATE_MEASUREMENT = 'late_day';

/** How far quarters are summed up: field `before`, in ms, at that time itself. */
export const SUMMED_MEASUREMENT = 'summed';

/**
 * Event times lie below this, 2262-04-11T00:00Z: InfluxDB keeps nanoseconds in 64 bits, with sign.
 */
export const INFLUX_END_MS: number = Date.UTC(2262, 3, 11);
