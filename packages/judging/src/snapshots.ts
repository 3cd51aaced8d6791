import type { JudgementState } from './judgement-state.ts';

/** A state that replays can start from. */
export interface Snapshot {
  /** Event time of the newest event in `state`: whatever is younger can be judged from here. */
  readonly throughMs: number;
  readonly state: JudgementState;
}

const DAY_MS = 86_400_000;

/**
 * Snapshots of one replay that are worth handing over: a store keeps the newest eight and one for
 * each of the eight weeks before, which the newest of so many days hold.
 */
export const SNAPSHOTS_HANDED_OVER = 64;

/** True when the two event times lie on different UTC days: a snapshot is due in between. */
export function isSnapshotDue(lastMs: number | null, atMs: number): boolean {
  return lastMs !== null && Math.floor(lastMs / DAY_MS) !== Math.floor(atMs / DAY_MS);
}
