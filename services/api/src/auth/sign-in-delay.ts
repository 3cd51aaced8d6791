import type { SignInFailures } from '@lineside/storage';

/** Failures in a row that cost nothing: typing errors. */
const FREE_FAILURES = 5;
/** The wait after the next one; it doubles from there. */
const FIRST_DELAY_MS = 2_000;
/** The longest wait, so that nobody is locked out for good by a stranger who guesses. */
const LONGEST_DELAY_MS = 15 * 60_000;
/** Failures older than this count no more. */
const FORGOTTEN_AFTER_MS = 24 * 3_600_000;

/** How many ms this name must still wait before its next try; 0 when it may try now. */
export function signInWaitMs(failures: SignInFailures, nowMs: number): number {
  const { count, lastAtMs } = recent(failures, nowMs);
  if (count < FREE_FAILURES) return 0;
  const delayMs = Math.min(FIRST_DELAY_MS * 2 ** (count - FREE_FAILURES), LONGEST_DELAY_MS);
  return Math.max(0, lastAtMs + delayMs - nowMs);
}

/** The record after one more failure. */
export function withFailure(failures: SignInFailures, nowMs: number): SignInFailures {
  return { count: recent(failures, nowMs).count + 1, lastAtMs: nowMs };
}

/** The record after a sign-in. */
export const NO_FAILURES: SignInFailures = { count: 0, lastAtMs: 0 };

function recent(failures: SignInFailures, nowMs: number): SignInFailures {
  return nowMs - failures.lastAtMs > FORGOTTEN_AFTER_MS ? NO_FAILURES : failures;
}
