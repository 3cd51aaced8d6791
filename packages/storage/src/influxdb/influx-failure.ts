import { HttpError, RequestTimedOutError } from '@influxdata/influxdb-client';
import { StoreError, type StoreErrorCode } from '../ports/store-error.ts';

const FULL = /no space left|disk is full|disk quota/i;

/** Characters of a server's words that a message repeats. */
const MOST_WORDS = 300;

/**
 * What the client or the server reports, as a `StoreError`: no space is `STORE_FULL`, everything
 * else `STORE_UNAVAILABLE`, since readings must wait until somebody has put the server right. A
 * `StoreError` stays as it is.
 *
 * @param where the server, for the message; without its token.
 */
export function influxFailure(error: unknown, where: string): StoreError {
  if (error instanceof StoreError) return error;
  const words = wordsOf(error);
  return storeError(words, `${where} failed: ${words}${adviceFor(error)}`, error);
}

/** An error that the server put into an answer of status 200. */
export function answerFailure(words: string, where: string): StoreError {
  const short = words.slice(0, MOST_WORDS);
  return storeError(short, `${where} refused a query: ${short}`, undefined);
}

function storeError(words: string, message: string, cause: unknown): StoreError {
  const full = FULL.test(words);
  const code: StoreErrorCode = full ? 'STORE_FULL' : 'STORE_UNAVAILABLE';
  const text = full ? `${message}; free some space on its disk` : message;
  return new StoreError(code, text, cause === undefined ? undefined : { cause });
}

/** Whether the same request may well work a moment later; a full disk takes longer. */
export function isPassing(error: unknown): boolean {
  if (error instanceof StoreError || FULL.test(wordsOf(error))) return false;
  if (error instanceof HttpError) return error.statusCode === 429 || error.statusCode >= 500;
  return true;
}

/** Whether the server took the request and never answered, so that its connection is lost. */
export function isHanging(error: unknown): boolean {
  return error instanceof RequestTimedOutError;
}

/** Whether all that was wrong with a write is that some lines are older than the server keeps. */
export function isPastRetention(error: unknown): boolean {
  return (
    error instanceof HttpError &&
    /beyond retention policy|outside retention policy/i.test(wordsOf(error))
  );
}

/**
 * How long the server asked to be left alone, in ms; 0 when it did not say. The header counts
 * seconds (RFC 9110, section 10.2.3); the client's own reading of it takes them for ms.
 */
export function askedPauseMs(error: unknown): number {
  if (!(error instanceof HttpError)) return 0;
  const seconds = Number(error.headers?.['retry-after']);
  return Number.isFinite(seconds) ? Math.max(0, seconds) * 1_000 : 0;
}

function wordsOf(error: unknown): string {
  if (error instanceof HttpError) {
    const said = (error.body || error.message).trim().slice(0, MOST_WORDS);
    return `${error.statusCode} ${said}`;
  }
  if (error instanceof AggregateError) {
    return error.errors.map(wordsOf).join('; ').slice(0, MOST_WORDS);
  }
  const words = error instanceof Error ? error.message : String(error);
  return words.slice(0, MOST_WORDS).trim();
}

function adviceFor(error: unknown): string {
  if (error instanceof Error && 'code' in error && error.code === 'EPROTO') {
    return ' (what answers there speaks no TLS: check LINESIDE_INFLUX_URL, http or https)';
  }
  if (!(error instanceof HttpError)) return '';
  if (error.statusCode === 401 || error.statusCode === 403) return ' (check LINESIDE_INFLUX_TOKEN)';
  if (error.statusCode === 404) {
    return ' (check that LINESIDE_INFLUX_BUCKET and LINESIDE_INFLUX_ORG exist there)';
  }
  return '';
}
