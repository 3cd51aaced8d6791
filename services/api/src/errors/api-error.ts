import type { FieldFault } from '../schemas/problem.ts';
import { PROBLEMS, type ProblemCode } from './problem-table.ts';

export interface ApiErrorExtra {
  readonly errors?: readonly FieldFault[];
  /** After how many whole seconds to try again. */
  readonly retryAfterSeconds?: number;
  /** Value of WWW-Authenticate. */
  readonly challenge?: string;
}

/** An answer that is not a success. `detail` is shown to the caller: no internals in it. */
export class ApiError extends Error {
  readonly code: ProblemCode;
  readonly detail: string;
  readonly extra: ApiErrorExtra;

  constructor(code: ProblemCode, detail: string, extra: ApiErrorExtra = {}) {
    super(`${PROBLEMS[code].title}: ${detail}`);
    this.name = 'ApiError';
    this.code = code;
    this.detail = detail;
    this.extra = extra;
  }
}

/** 400 with the path of what is wrong. */
export function badRequest(path: string, message: string): ApiError {
  const detail = path === '' ? message : `${path} ${message}`;
  return new ApiError('API_BAD_REQUEST', detail, { errors: [{ path, message }] });
}

/** 404; the same whether it does not exist or the caller may not see it. */
export function notFound(what: string): ApiError {
  return new ApiError('API_NOT_FOUND', `${what} is not known here, or not among your sites.`);
}
