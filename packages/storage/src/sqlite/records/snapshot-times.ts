import { SNAPSHOTS_NEWEST, SNAPSHOTS_WEEKS } from '../../ports/record-store.ts';

const DAY_MS = 86_400_000;
const WEEK_MS: number = 7 * DAY_MS;

/** 1969-12-29T00:00:00Z, the Monday before 1970 began. */
const FIRST_MONDAY_MS: number = -3 * DAY_MS;

/**
 * Times of snapshots that are no longer kept: all but the newest and, of those before, the newest
 * of each week.
 *
 * @param times event times, oldest first.
 */
export function outdatedSnapshots(times: readonly number[]): readonly number[] {
  const newestFirst = [...times].reverse();
  const older = newestFirst.slice(SNAPSHOTS_NEWEST);
  const firstOfWeek = older.filter(
    (timeMs, index) => index === 0 || weekOf(timeMs) !== weekOf(older[index - 1] ?? timeMs),
  );
  const kept = new Set(firstOfWeek.slice(0, SNAPSHOTS_WEEKS));
  return older.filter((timeMs) => !kept.has(timeMs));
}

function weekOf(timeMs: number): number {
  return Math.floor((timeMs - FIRST_MONDAY_MS) / WEEK_MS);
}
