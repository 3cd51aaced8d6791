/**
 * How long a condition has lasted, forgiving: time in the condition counts up, time out of it
 * counts down, so one reading at the edge of a limit does not start the wait anew.
 * null: not in the condition. 0: it has just begun.
 */
export type DwellMs = number | null;

/** Time between two readings counts at most this much: what happened in a longer gap is unknown. */
const DWELL_MOST_GAP_MS = 900_000;

/** `holdMs`: counting stops here, so that a long excess is forgotten as fast as a short one. */
export function nextDwell(
  dwellMs: DwellMs,
  isIn: boolean,
  elapsedMs: number,
  holdMs: number,
): DwellMs {
  const countedMs = Math.min(Math.max(elapsedMs, 0), DWELL_MOST_GAP_MS);
  if (isIn) return dwellMs === null ? 0 : Math.min(dwellMs + countedMs, holdMs);
  if (dwellMs === null || dwellMs <= countedMs) return null;
  return dwellMs - countedMs;
}

/** True once the condition has lasted `holdMs`. */
export function hasDwelt(dwellMs: DwellMs, holdMs: number): boolean {
  return dwellMs !== null && dwellMs >= holdMs;
}
