/**
 * Whether a unit's past is still coming in: after a node's or a gateway's outage its readings
 * arrive with old event times, many times faster than real time.
 */
export interface ArrivalTrack {
  /** Event time of the newest reading when this look began. */
  readonly fromReadingMs: number;
  /** Wall-clock time when this look began. */
  readonly fromMs: number;
  readonly newestReadingMs: number;
  readonly advancedMs: number;
}

/** A last reading older than this is 'far behind': ten readings of the usual one-minute node. */
export const FAR_BEHIND_MS: number = 10 * 60_000;

/** A look at a unit's pace lasts this long; without any advance for as long it has stopped. */
const PACE_WINDOW_MS = 30_000;

/** A past that comes in faster than this many times real time is arriving, not just late. */
const ARRIVING_PACE = 3;

/** The track after one more reading (or the same again) was seen at `nowMs`. */
export function follow(
  track: ArrivalTrack | undefined,
  readingMs: number,
  nowMs: number,
): ArrivalTrack {
  if (track === undefined) {
    return {
      fromReadingMs: readingMs,
      fromMs: nowMs,
      newestReadingMs: readingMs,
      advancedMs: nowMs,
    };
  }
  const advanced = readingMs > track.newestReadingMs;
  const over = nowMs - track.fromMs > PACE_WINDOW_MS;
  return {
    fromReadingMs: over ? track.newestReadingMs : track.fromReadingMs,
    fromMs: over ? nowMs : track.fromMs,
    newestReadingMs: Math.max(readingMs, track.newestReadingMs),
    advancedMs: advanced ? nowMs : track.advancedMs,
  };
}

function isArriving(track: ArrivalTrack, nowMs: number): boolean {
  const behind = nowMs - track.newestReadingMs > FAR_BEHIND_MS;
  const moving = nowMs - track.advancedMs <= PACE_WINDOW_MS;
  const gained = track.newestReadingMs - track.fromReadingMs;
  return (
    behind && moving && gained > ARRIVING_PACE * Math.max(1000, track.advancedMs - track.fromMs)
  );
}

export interface ArrivalProgress {
  /** All units have readings up to here. */
  readonly upToMs: number;
  readonly caughtUp: number;
  readonly total: number;
}

/** How far the past has come in, or null when none is arriving. `total` counts all units. */
export function arrivalProgress(
  tracks: Iterable<ArrivalTrack>,
  total: number,
  nowMs: number,
): ArrivalProgress | null {
  const all = [...tracks];
  const arriving = all.filter((track) => isArriving(track, nowMs));
  if (arriving.length === 0) return null;
  return {
    upToMs: Math.min(...arriving.map((track) => track.newestReadingMs)),
    caughtUp: all.filter((track) => nowMs - track.newestReadingMs <= FAR_BEHIND_MS).length,
    total,
  };
}
