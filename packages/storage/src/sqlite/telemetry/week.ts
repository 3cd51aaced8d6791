const DAY_MS = 86_400_000;
const WEEK_MS: number = 7 * DAY_MS;
/** 1970-01-05 was the first Monday. */
const FIRST_MONDAY_MS: number = 4 * DAY_MS;

/** Width of the rollups. A week holds a whole number of them, so none lies in two files. */
export const QUARTER_MS: number = 15 * 60_000;

/** Event times lie in [0, this): the year 9999 is the last that a file name can say. */
export const TIME_END_MS: number = Date.UTC(10_000, 0, 1);

/** A span of event times, half open. */
export interface Span {
  readonly fromMs: number;
  readonly toMs: number;
}

/** Start of the UTC week (Monday) that holds `atMs`; the first file also has the days before. */
export function weekStart(atMs: number): number {
  return Math.floor((atMs - FIRST_MONDAY_MS) / WEEK_MS) * WEEK_MS + FIRST_MONDAY_MS;
}

/** The week as a span. */
export function weekSpan(startMs: number): Span {
  return { fromMs: startMs, toMs: startMs + WEEK_MS };
}

/** Name of the week's file, for example `telemetry-2026-11-23.db`. */
export function weekFileName(startMs: number): string {
  return `telemetry-${new Date(startMs).toISOString().slice(0, 10)}.db`;
}

const FILE_NAME = /^telemetry-(\d{4}-\d{2}-\d{2})\.db(?:-wal|-shm)?$/;

/**
 * Start of the week that a file name stands for; `null` when it is no telemetry file. SQLite's
 * files beside the database (`-wal`, `-shm`) count as well.
 */
export function weekOfFile(name: string): number | null {
  const date = FILE_NAME.exec(name)?.[1];
  if (date === undefined) return null;
  const startMs = Date.parse(`${date}T00:00:00Z`);
  return Number.isNaN(startMs) || weekStart(startMs) !== startMs ? null : startMs;
}

/** What both spans share; `null` when that is nothing. */
export function overlap(a: Span, b: Span): Span | null {
  const fromMs = Math.max(a.fromMs, b.fromMs);
  const toMs = Math.min(a.toMs, b.toMs);
  return fromMs < toMs ? { fromMs, toMs } : null;
}
