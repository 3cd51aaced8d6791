import type { MessageOutcome, OutboxMessage } from '@lineside/storage';
import type { HandedOver } from '../channels/channel.ts';
import { retryPauseMs } from './retry-pause.ts';

/** A reason kept with a message has at most this many characters. */
const REASON_MOST_CHARACTERS = 300;

/** What is written of a message after one try that ended at `nowMs`. */
export function settlementOf(
  message: OutboxMessage,
  result: HandedOver,
  nowMs: number,
  random: number,
): MessageOutcome {
  const { id, revision, dueAtMs, handedOverAtMs } = message;
  const attempts = message.attempts + 1;
  const tried = { id, revision, attempts, dueAtMs, handedOverAtMs };
  if (result.outcome === 'handed-over') {
    return { ...tried, state: 'handed-over', handedOverAtMs: nowMs, failure: null };
  }
  const failure = result.reason.slice(0, REASON_MOST_CHARACTERS);
  if (result.outcome !== 'failed') return { ...tried, state: 'given-up', failure };
  const againMs = nowMs + retryPauseMs(attempts, result.retryAfterMs, random);
  if (againMs >= message.expiresAtMs) return { ...tried, state: 'given-up', failure };
  return { ...tried, state: 'waiting', dueAtMs: againMs, failure };
}

/** Given up without a try. */
export function givenUp(message: OutboxMessage, failure: string): MessageOutcome {
  const { id, revision, attempts, dueAtMs, handedOverAtMs } = message;
  return { id, revision, attempts, dueAtMs, handedOverAtMs, state: 'given-up', failure };
}

/** Waits on without a try that counts, but not beyond its expiry. */
export function putOff(message: OutboxMessage, untilMs: number, failure: string): MessageOutcome {
  const { id, revision, attempts, handedOverAtMs, expiresAtMs } = message;
  const dueAtMs = Math.min(untilMs, expiresAtMs);
  return { id, revision, attempts, dueAtMs, handedOverAtMs, state: 'waiting', failure };
}
