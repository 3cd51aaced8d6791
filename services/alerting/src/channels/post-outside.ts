import type { LookupAddress } from 'node:dns';
import http from 'node:http';
import https from 'node:https';
import type { LookupFunction } from 'node:net';
import type { OutsideGuard } from './outside-guard.ts';

/** How long one try may take from resolving the name to the head of the answer. */
export const TRY_TIMEOUT_MS = 10_000;

export interface OutsidePost {
  readonly url: URL;
  readonly headers: Readonly<Record<string, string | number>>;
  readonly body: Buffer;
  readonly timeoutMs: number;
  /** Ends the try at once: the channel is closed. */
  readonly closing: AbortSignal;
}

export type Answer =
  | { readonly kind: 'answered'; readonly status: number; readonly retryAfter: string | null }
  | { readonly kind: 'not-allowed'; readonly reason: string }
  /** No answer was had. */
  | { readonly kind: 'no-answer'; readonly reason: string };

/**
 * Posts to an address that `guard` lets through, at the very network address it has checked.
 * Redirects are not followed. Never rejects, and ends within `timeoutMs`.
 */
export async function postOutside(guard: OutsideGuard, post: OutsidePost): Promise<Answer> {
  const over = AbortSignal.any([AbortSignal.timeout(post.timeoutMs), post.closing]);
  if (over.aborted) return noAnswerWithin(post);
  const late = new Promise<Answer>((resolve) => {
    over.addEventListener('abort', () => resolve(noAnswerWithin(post)), { once: true });
  });
  return await Promise.race([late, checkedPost(guard, post, over)]);
}

async function checkedPost(
  guard: OutsideGuard,
  post: OutsidePost,
  over: AbortSignal,
): Promise<Answer> {
  const checked = await guard(post.url);
  if (checked.may === 'unknown') return { kind: 'no-answer', reason: checked.reason };
  if (!checked.may) return { kind: 'not-allowed', reason: checked.reason };
  if (over.aborted) return noAnswerWithin(post);
  return await request(post, checked.at, over);
}

function request(
  post: OutsidePost,
  at: readonly LookupAddress[],
  over: AbortSignal,
): Promise<Answer> {
  const { url, headers, body } = post;
  const { request: open } = url.protocol === 'https:' ? https : http;
  return new Promise((resolve) => {
    const started = open(url, {
      method: 'POST',
      headers: { ...headers, 'content-length': body.length },
      // A connection of its own: none that was left open could have been checked for this address.
      agent: false,
      lookup: lookupAmong(at),
      signal: over,
    });
    started.once('response', (response) => {
      const { statusCode: status = 0, headers: answered } = response;
      // The head says it all: a body of any length is left unread.
      started.destroy();
      resolve({ kind: 'answered', status, retryAfter: answered['retry-after'] ?? null });
    });
    started.on('error', (error) => {
      resolve(
        over.aborted
          ? noAnswerWithin(post)
          : { kind: 'no-answer', reason: `no connection to ${url.host}: ${codeOf(error)}` },
      );
    });
    started.end(body);
  });
}

/** Answers every look-up with what was checked before. */
function lookupAmong(at: readonly LookupAddress[]): LookupFunction {
  return (_host, options, callback) => {
    const [first] = at;
    if (options.all || first === undefined) callback(null, [...at]);
    else callback(null, first.address, first.family);
  };
}

function noAnswerWithin({ timeoutMs, closing }: OutsidePost): Answer {
  const reason = closing.aborted ? 'the channel is closed' : `no answer within ${timeoutMs} ms`;
  return { kind: 'no-answer', reason };
}

function codeOf(error: Error): string {
  return 'code' in error && typeof error.code === 'string' ? error.code : error.message;
}
