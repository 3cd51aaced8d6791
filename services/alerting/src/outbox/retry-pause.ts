/** Shortest pause before a message is tried again: gives a hiccup time to pass. */
export const PAUSE_LEAST_MS = 1000;

/** Ceiling of the first pause; it doubles with each attempt. */
export const PAUSE_FIRST_MS = 2000;

/** Ceiling of all pauses: an urgent page must go soon after a door opens again. */
export const PAUSE_MOST_MS: number = 5 * 60_000;

/**
 * How long to wait after a failed attempt: evenly spread between the shortest pause and a ceiling
 * that doubles, so that many that failed together do not come back together (full jitter; common
 * practice, no source). Never less than the other side asked for.
 *
 * @param attempts made so far, 1 or more
 * @param random from 0 to below 1
 */
export function retryPauseMs(
  attempts: number,
  retryAfterMs: number | null,
  random: number,
): number {
  if (!(attempts >= 1)) throw new RangeError(`attempts must be 1 or more, found ${attempts}`);
  const ceiling = Math.min(PAUSE_MOST_MS, PAUSE_FIRST_MS * 2 ** (attempts - 1));
  const pauseMs = Math.round(PAUSE_LEAST_MS + random * (ceiling - PAUSE_LEAST_MS));
  return Math.max(pauseMs, retryAfterMs ?? 0);
}
