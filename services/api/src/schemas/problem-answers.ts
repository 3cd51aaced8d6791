import type { z } from 'zod';
import { type Problem, problemSchema } from './problem.ts';

/** How a route declares a problem for the document. */
export interface ProblemAnswer {
  readonly description: string;
  readonly content: {
    readonly 'application/problem+json': { readonly schema: z.ZodType<Problem> };
  };
}

const DESCRIPTIONS = {
  400: 'Something in the request is wrong; `errors` names the path of each.',
  401: 'Not signed in, or the token, session, name or password is not valid.',
  403: 'The role does not allow it, or the request lacks the token of its session.',
  404: 'Not known here, or not among the sites of the caller.',
  409: 'The state does not allow it.',
  413: 'The body is too large.',
  415: 'The body is not application/json.',
  429: 'Too many requests; see Retry-After.',
  500: 'The server failed; the reason is in its log.',
  503: 'A store does not answer; see Retry-After.',
} as const;

export type ProblemStatus = keyof typeof DESCRIPTIONS;

/** Answers to be spread into a route's `response`; 429, 500 and 503 always belong to them. */
export function problems<Status extends ProblemStatus>(
  ...statuses: readonly Status[]
): { readonly [status in Status | 429 | 500 | 503]: ProblemAnswer } {
  const all = [...statuses, 429, 500, 503] as const;
  const entries = all.map((status) => [status, problemAnswer(status)]);
  return Object.fromEntries(entries) as {
    readonly [status in Status | 429 | 500 | 503]: ProblemAnswer;
  };
}

function problemAnswer(status: ProblemStatus): ProblemAnswer {
  return {
    description: DESCRIPTIONS[status],
    content: { 'application/problem+json': { schema: problemSchema } },
  };
}
