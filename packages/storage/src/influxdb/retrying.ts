import { setTimeout as wait } from 'node:timers/promises';
import { askedPauseMs, isPassing } from './influx-failure.ts';

/** Pauses before the second, third and fourth try: enough for a restart of the server's proxy. */
const PAUSES_MS: readonly number[] = [100, 400, 1_200];

/** A server that asks for a longer pause is left to the caller, who holds the readings. */
const LONGEST_PAUSE_MS = 3_000;

/** After this no further try begins, so that a server that hangs does not hold up the end. */
const RETRY_WITHIN_MS = 4_000;

export interface Retrying {
  readonly now: () => number;
  readonly pause: (ms: number) => Promise<unknown>;
}

const BY_THE_CLOCK: Retrying = { now: () => performance.now(), pause: (ms) => wait(ms) };

/**
 * Runs `attempt` until it works, four times at most, with growing pauses; rejects with the last
 * error, and at once with one that would come again.
 */
export async function retrying<T>(
  attempt: () => Promise<T>,
  { now, pause }: Retrying = BY_THE_CLOCK,
): Promise<T> {
  const endMs = now() + RETRY_WITHIN_MS;
  for (let tries = 0; ; tries++) {
    try {
      return await attempt();
    } catch (error) {
      const usualMs = PAUSES_MS[tries];
      if (usualMs === undefined || !isPassing(error)) throw error;
      const pauseMs = Math.max(usualMs, askedPauseMs(error));
      if (pauseMs > LONGEST_PAUSE_MS || now() + pauseMs > endMs) throw error;
      await pause(pauseMs);
    }
  }
}
