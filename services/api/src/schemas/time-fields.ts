import { z } from 'zod';
import { parseRfc3339 } from '../time/rfc3339.ts';

const TIME_RULE = 'must be an RFC 3339 time such as 2026-01-10T04:00:00Z';
const FORMAT = { format: 'date-time' } as const;

/** A time in an answer: RFC 3339, UTC. */
export const timeText: z.ZodType<string> = z.string().meta(FORMAT);

/** A time in a request, as milliseconds since 1970. */
export const timeMs: z.ZodType<number> = z
  .string({ error: TIME_RULE })
  .meta(FORMAT)
  .transform((text, context) => {
    const atMs = parseRfc3339(text);
    if (atMs !== null) return atMs;
    context.issues.push({ code: 'custom', message: TIME_RULE, input: text });
    return z.NEVER;
  });

/** `from` and `to` of a request; half open, `from` < `to`. */
export interface Span {
  readonly from?: number | undefined;
  readonly to?: number | undefined;
}

/** For `refine`: whether the span is not turned round or empty. */
export function spanIsForward(span: Span): boolean {
  return span.from === undefined || span.to === undefined || span.from < span.to;
}

/** What `from` must be. */
export const SPAN_WORDS: string = 'must be before to (the range is half open: from <= time < to)';

/** For `refine`, when `spanIsForward` is false. No `message`: `refine` takes that out of the object. */
export const SPAN_FAULT: { readonly path: string[]; readonly error: string } = {
  path: ['from'],
  error: SPAN_WORDS,
};

/** The years that the stores know: 1970 to 9999. */
const STORE_FIRST_MS = 0;
const STORE_LAST_MS: number = Date.UTC(9999, 11, 31, 23, 59, 59, 999);

/** A time as the stores take it: what lies outside their years has nothing in it either. */
export function toStoreTime(atMs: number): number {
  return Math.min(Math.max(atMs, STORE_FIRST_MS), STORE_LAST_MS);
}

/** `from` and `to` for a store. */
export function toStoreSpan({ from, to }: Span): { fromMs?: number; toMs?: number } {
  return {
    ...(from === undefined ? {} : { fromMs: toStoreTime(from) }),
    ...(to === undefined ? {} : { toMs: toStoreTime(to) }),
  };
}
