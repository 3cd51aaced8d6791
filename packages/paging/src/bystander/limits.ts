import type { LookedAfter } from './heartbeat.ts';

const SECOND_MS = 1000;
const MINUTE_MS = 60 * SECOND_MS;
const HOUR_MS = 60 * MINUTE_MS;

export interface BystanderLimits {
  /** Age of a heartbeat from which its part counts as stopped. */
  readonly stoppedAfterMs: Readonly<Record<LookedAfter, number>>;
  /** How long a server that ended without a farewell has for coming back. */
  readonly graceMs: number;
  /** How long a part must be well before its trouble is over: what keeps ending is one trouble. */
  readonly settledForMs: number;
  /** How long a start may take; it judges what was stored and not judged. */
  readonly startWithinMs: number;
  /** How often a trouble that lasts is told again. */
  readonly tellAgainMs: number;
  /** A longer time between two looks is our own sleep, and nobody else's silence. */
  readonly ownGapMs: number;
}

/** Common practice, no source. */
export const DEFAULT_BYSTANDER_LIMITS: BystanderLimits = {
  stoppedAfterMs: {
    // Heartbeats come every five seconds: twelve in a row are missing.
    server: MINUTE_MS,
    // One commit takes milliseconds; a slow disk with a full queue takes seconds.
    ingest: 2 * MINUTE_MS,
    // One round of 20,000 readings takes well under a second.
    judging: 2 * MINUTE_MS,
    // The journal is read every second, the outbox every thirty at the latest.
    paging: 2 * MINUTE_MS,
    // Retries are at most five minutes apart: three in a row fail, and nobody else is reached.
    delivery: 15 * MINUTE_MS,
  },
  // A supervisor starts a server again within seconds; a restart of the machine takes a minute.
  graceMs: MINUTE_MS,
  settledForMs: MINUTE_MS,
  // Ten days of backlog of a large fleet take a few minutes.
  startWithinMs: 15 * MINUTE_MS,
  tellAgainMs: HOUR_MS,
  // It looks every second; a suspended machine or a stopped clock makes gaps.
  ownGapMs: 30 * SECOND_MS,
};
