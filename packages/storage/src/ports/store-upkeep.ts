/** What `prepare` did about one thing that a store needs. */
export interface PreparedThing {
  /** For example `database lineside`. */
  readonly name: string;
  /** `to do`: a person has to do the steps, or to allow it. */
  readonly outcome: 'made' | 'changed' | 'kept' | 'to do';
  /** How the thing is now, or what is in the way. */
  readonly words: string;
  /** Commands or statements, in their order; empty unless the outcome is `to do`. */
  readonly steps: readonly string[];
}

export interface PrepareWishes {
  /** How old readings may become; 1 to 36,500. */
  readonly retentionDays: number;
  /** Whether the retention may be set so that the server deletes what it holds now. */
  readonly mayDelete: boolean;
  readonly nowMs: number;
}

/** How a telemetry store is, for people who look after it. Null: it does not tell. */
export interface StoreStatus {
  readonly kind: 'sqlite' | 'influxdb';
  /** Folder or address; without any secret. */
  readonly where: string;
  readonly generation: number | null;
  readonly version: string | null;
  /** Why it cannot be used; null when it can. The rest is empty then. */
  readonly failure: string | null;
  readonly retention: {
    readonly wantedDays: number;
    /** What the store itself is set to; null when it keeps readings for ever. */
    readonly setDays: number | null;
    /** Who forgets, and whether the two agree. */
    readonly words: string;
  };
  readonly units: number | null;
  /** Values of all channels. */
  readonly values: number | null;
  /** Values of the channel that has most: there are at least so many readings. */
  readonly readings: number | null;
  readonly oldestMs: number | null;
  readonly newestMs: number | null;
  readonly bytes: number | null;
  readonly freeBytes: number | null;
  /** Quarters of an hour. */
  readonly sums: {
    /** They are summed up before it; null when none are, or each in the week that it belongs to. */
    readonly beforeMs: number | null;
    /** Days of units that got late readings and wait to be summed up again. */
    readonly lateDays: number;
    readonly words: string;
  };
  /** Storage periods that are files, oldest first; empty where a server has them. */
  readonly weeks: readonly StoredWeek[];
  /** What the adapter cannot do, each with the reason. */
  readonly lacks: Readonly<Record<string, string>>;
}

/** One week's file. */
export interface StoredWeek {
  readonly startMs: number;
  readonly bytes: number;
  readonly units: number;
  readonly readings: number;
  /** Quarters of units that are summed up. */
  readonly quarters: number;
  /** Why it cannot be read; null when it can. */
  readonly failure: string | null;
}
