import { StoreError, type StoreErrorCode } from '../ports/store-error.ts';

/** What the caller's thread sends. */
export type WorkerRequest =
  | {
      readonly type: 'call';
      readonly id: number;
      readonly method: string;
      readonly args: unknown[];
    }
  | { readonly type: 'close' };

/** What the worker answers. */
export type WorkerAnswer =
  | { readonly type: 'ready' }
  | { readonly type: 'refused'; readonly failure: CarriedFailure }
  | { readonly type: 'done'; readonly id: number; readonly value: unknown }
  | { readonly type: 'failed'; readonly id: number; readonly failure: CarriedFailure }
  | { readonly type: 'closed'; readonly failure: CarriedFailure | null };

/** A `StoreError` as plain data: structured cloning would lose its class and code. */
export interface CarriedFailure {
  readonly code: StoreErrorCode;
  readonly message: string;
  readonly stack: string | null;
  readonly cause: string | null;
}

/** Packs an error for the way to the other thread. */
export function carryFailure(error: StoreError): CarriedFailure {
  return {
    code: error.code,
    message: error.message,
    stack: error.stack ?? null,
    cause: error.cause === undefined ? null : describeCause(error.cause),
  };
}

/** Rebuilds the error on the caller's side; its stack is that of the worker, where it happened. */
export function receiveFailure(failure: CarriedFailure): StoreError {
  const options = failure.cause === null ? undefined : { cause: new Error(failure.cause) };
  const error = new StoreError(failure.code, failure.message, options);
  if (failure.stack !== null) error.stack = failure.stack;
  return error;
}

/** Any thrown value as a `StoreError`: those that are one already stay as they are. */
export function asUnavailable(error: unknown): StoreError {
  if (error instanceof StoreError) return error;
  const message = error instanceof Error ? error.message : String(error);
  return new StoreError('STORE_UNAVAILABLE', `The store failed: ${message}`, { cause: error });
}

function describeCause(cause: unknown): string {
  if (!(cause instanceof Error)) return String(cause);
  const code = 'code' in cause && typeof cause.code === 'string' ? `${cause.code}: ` : '';
  return `${code}${cause.message}`;
}
