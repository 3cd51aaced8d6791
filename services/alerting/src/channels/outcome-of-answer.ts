import type { HandedOver } from './channel.ts';
import type { Answer } from './post-outside.ts';

/** Longest wait that another side's `Retry-After` is taken for: a page is stale long before. */
const RETRY_AFTER_MOST_MS = 15 * 60_000;

/** Answers below 500 that may change by waiting: time-out, too early, too many (RFC 9110, 6585). */
const WORTH_WAITING: readonly number[] = [408, 425, 429];

/** What an answer to a POST means for the message. `gone` are the states that end a contact point. */
export function outcomeOfAnswer(
  answer: Answer,
  gone: readonly number[],
  nowMs: number,
): HandedOver {
  if (answer.kind === 'not-allowed') return { outcome: 'refused', reason: answer.reason };
  if (answer.kind === 'no-answer') {
    return { outcome: 'failed', reason: answer.reason, retryAfterMs: null, isChannelDown: true };
  }
  const { status } = answer;
  const reason = `answered ${status}`;
  if (status >= 200 && status < 300) return { outcome: 'handed-over' };
  if (gone.includes(status)) return { outcome: 'gone', reason };
  if (status >= 500 || WORTH_WAITING.includes(status)) {
    const retryAfterMs = parseRetryAfter(answer.retryAfter, nowMs);
    return { outcome: 'failed', reason, retryAfterMs, isChannelDown: false };
  }
  const hint = status >= 300 && status < 400 ? ': give the address that it redirects to' : '';
  return { outcome: 'refused', reason: `${reason}${hint}` };
}

/** Milliseconds to wait, from seconds or a date; null when there is none or it cannot be read. */
export function parseRetryAfter(text: string | null, nowMs: number): number | null {
  if (text === null) return null;
  const isSeconds = /^\d{1,9}$/.test(text);
  const isDate = /^[A-Z][a-z]+, /.test(text);
  if (!isSeconds && !isDate) return null;
  const waitMs = isSeconds ? Number(text) * 1000 : Date.parse(text) - nowMs;
  if (!Number.isFinite(waitMs)) return null;
  return Math.min(RETRY_AFTER_MOST_MS, Math.max(0, waitMs));
}
