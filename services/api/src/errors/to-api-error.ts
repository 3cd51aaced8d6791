import { StoreError } from '@lineside/storage';
import type { FastifyError } from 'fastify';
import type { FieldFault } from '../schemas/problem.ts';
import { ApiError } from './api-error.ts';
import type { ProblemCode } from './problem-table.ts';

/** After a failed store: long enough for a commit or a reconnect, short enough for a person. */
const STORE_RETRY_SECONDS = 5;

/** What the web framework reports, by its code. */
const FRAMEWORK: Readonly<Record<string, readonly [code: ProblemCode, detail: string]>> = {
  FST_ERR_CTP_BODY_TOO_LARGE: ['API_BODY_TOO_LARGE', 'Send less at once.'],
  FST_ERR_CTP_INVALID_MEDIA_TYPE: ['API_UNSUPPORTED_TYPE', 'Send application/json.'],
  FST_ERR_CTP_INVALID_JSON_BODY: ['API_MALFORMED_BODY', 'The body does not parse as JSON.'],
  FST_ERR_CTP_EMPTY_JSON_BODY: ['API_MALFORMED_BODY', 'The body is empty.'],
  FST_ERR_CTP_INVALID_CONTENT_LENGTH: [
    'API_BAD_REQUEST',
    'The body is not as long as Content-Length says.',
  ],
  FST_ERR_BAD_URL: ['API_BAD_REQUEST', 'The address is not a valid URL path.'],
  FST_ERR_MAX_PARAM_LENGTH: ['API_NOT_FOUND', 'A part of the address is too long.'],
};

/** The one place that decides what a caller is told about an error. */
export function toApiError(error: unknown): ApiError {
  if (error instanceof ApiError) return error;
  if (error instanceof StoreError) return fromStore(error);
  if (isFrameworkError(error)) return fromFramework(error);
  return internal(error);
}

function fromStore(error: StoreError): ApiError {
  switch (error.code) {
    case 'STORE_CONFLICT':
      return new ApiError('API_CONFLICT', 'It was changed by someone else; read it and try again.');
    case 'STORE_FULL':
    case 'STORE_UNAVAILABLE':
    case 'STORE_CLOSED': {
      const retryAfterSeconds = STORE_RETRY_SECONDS;
      return new ApiError('API_STORE_UNAVAILABLE', 'Try again later.', { retryAfterSeconds });
    }
    case 'STORE_BAD_INPUT':
    case 'STORE_NEWER_SCHEMA':
      return internal(error);
  }
}

type ErrorOfFramework = Error & Partial<FastifyError>;

function isFrameworkError(error: unknown): error is ErrorOfFramework {
  return error instanceof Error && ('code' in error || 'validation' in error || isHttp(error));
}

function isHttp(error: Error): boolean {
  return 'statusCode' in error;
}

function fromFramework(error: ErrorOfFramework): ApiError {
  if (error.validation !== undefined) {
    const errors = error.validation.map(faultFrom);
    const detail = errors.map((fault) => `${fault.path} ${fault.message}`.trim()).join('; ');
    return new ApiError('API_BAD_REQUEST', detail, { errors });
  }
  const known = FRAMEWORK[error.code ?? ''];
  if (known !== undefined) return new ApiError(known[0], known[1]);
  // The JSON parser's own errors have a status and no code of the framework.
  if (error.statusCode === 400) {
    return new ApiError('API_MALFORMED_BODY', 'The body does not parse as JSON.');
  }
  return internal(error);
}

function faultFrom(fault: { instancePath?: string; message?: string }): FieldFault {
  const path = (fault.instancePath ?? '')
    .split('/')
    .filter((part) => part !== '')
    .join('.');
  return { path, message: plainWords(fault.message ?? 'is not valid') };
}

/** How the schema library says that a value has another type, where a schema has no words for it. */
const OTHER_TYPE = /^Invalid input: expected (\w+), received (\w+)$/;

function plainWords(message: string): string {
  const [, expected, found] = OTHER_TYPE.exec(message) ?? [];
  if (expected === undefined) return message;
  const kind = /^[aeiou]/.test(expected) ? `an ${expected}` : `a ${expected}`;
  return found === 'undefined' ? `is missing: expected ${kind}` : `must be ${kind}, found ${found}`;
}

function internal(error: unknown): ApiError {
  const failure = new ApiError('API_INTERNAL', 'It is in the log of the server.');
  failure.cause = error;
  return failure;
}
