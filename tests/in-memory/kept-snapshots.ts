import { SNAPSHOTS_NEWEST, SNAPSHOTS_WEEKS, type UnitRef } from '@lineside/storage';

const WEEK_MS = 7 * 86_400_000;

/** 1970 began on a Thursday: weeks begin on the Monday before. */
const MONDAY_OFFSET_MS = 3 * 86_400_000;

export interface SavedSnapshot extends UnitRef {
  readonly throughMs: number;
  readonly state: string;
}

/** Of one unit's snapshots those that a store keeps, oldest first. */
export function keptSnapshots(snapshots: readonly SavedSnapshot[]): readonly SavedSnapshot[] {
  const sorted = [...snapshots].sort((one, other) => one.throughMs - other.throughMs);
  const newest = sorted.slice(-SNAPSHOTS_NEWEST);
  const ofWeeks = new Map<number, SavedSnapshot>();
  for (const one of sorted.slice(0, -SNAPSHOTS_NEWEST)) {
    ofWeeks.set(Math.floor((one.throughMs + MONDAY_OFFSET_MS) / WEEK_MS), one);
  }
  return [...[...ofWeeks.values()].slice(-SNAPSHOTS_WEEKS), ...newest];
}
