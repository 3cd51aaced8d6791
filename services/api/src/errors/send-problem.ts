import type { FastifyReply } from 'fastify';
import type { Problem } from '../schemas/problem.ts';
import type { ApiError } from './api-error.ts';
import { PROBLEMS } from './problem-table.ts';

export const PROBLEM_TYPE = 'application/problem+json; charset=utf-8';

/** Problem details (RFC 9457) of an error. */
export function problemOf(error: ApiError): Problem {
  const { status, title } = PROBLEMS[error.code];
  const { errors } = error.extra;
  return {
    type: 'about:blank',
    title,
    status,
    detail: error.detail,
    code: error.code,
    ...(errors === undefined ? {} : { errors }),
  };
}

/** Header fields that go with an error beside its type. */
export function headersOf(error: ApiError): Record<string, string> {
  const { retryAfterSeconds, challenge } = error.extra;
  const headers: Record<string, string> = { 'cache-control': 'no-store' };
  if (retryAfterSeconds !== undefined) headers['retry-after'] = String(retryAfterSeconds);
  if (challenge !== undefined) headers['www-authenticate'] = challenge;
  return headers;
}

export function sendProblem(reply: FastifyReply, error: ApiError): FastifyReply {
  const problem = problemOf(error);
  // As text: the answer must not depend on what a route declares for this status.
  return reply
    .code(problem.status)
    .headers(headersOf(error))
    .type(PROBLEM_TYPE)
    .send(JSON.stringify(problem));
}
