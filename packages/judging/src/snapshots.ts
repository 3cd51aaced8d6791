import type { JudgementState } from './judgement-state.ts';

/** A state that replays can start from. */
export interface Snapshot {
  /** Event time of the newest event in `state`: whatever is younger can be judged from here. */
  readonly throughMs: number;
  readonly state: JudgementState;
}

const DAY_MS = 86_400_000;
const WEEK_MS: number = 7 * DAY_MS;
/** 1970-01-01 was a Thursday; weeks begin on Mondays. */
const MONDAY_MS: number = 4 * DAY_MS;

/** Newest snapshots kept: late data are hours or days old, and each costs a day's replay less. */
export const DAILY_SNAPSHOTS = 8;
/** Older ones kept, one a week: a replay of older data costs a week more, or starts at the first. */
export const WEEKLY_SNAPSHOTS = 8;

/** True when the two event times lie on different UTC days: a snapshot is due in between. */
export function isSnapshotDue(lastMs: number | null, atMs: number): boolean {
  return lastMs !== null && Math.floor(lastMs / DAY_MS) !== Math.floor(atMs / DAY_MS);
}

/** Which of a unit's snapshots are worth keeping, oldest first. */
export function keptSnapshots<T extends { readonly throughMs: number }>(all: readonly T[]): T[] {
  const sorted = all.toSorted((one, other) => one.throughMs - other.throughMs);
  const daily = sorted.slice(-DAILY_SNAPSHOTS);
  const newestOfWeek = new Map<number, T>();
  for (const each of sorted.slice(0, -DAILY_SNAPSHOTS)) {
    newestOfWeek.set(Math.floor((each.throughMs - MONDAY_MS) / WEEK_MS), each);
  }
  return [...[...newestOfWeek.values()].slice(-WEEKLY_SNAPSHOTS), ...daily];
}
