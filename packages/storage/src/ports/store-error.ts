export const STORE_ERROR_CODES = [
  'STORE_FULL',
  'STORE_UNAVAILABLE',
  'STORE_CLOSED',
  'STORE_CONFLICT',
  'STORE_BAD_INPUT',
  'STORE_NEWER_SCHEMA',
] as const;
export type StoreErrorCode = (typeof STORE_ERROR_CODES)[number];

/**
 * A failure of a store, with a code that a caller can act on.
 *
 * - `STORE_FULL`: no space; nothing of the batch was kept; try again later.
 * - `STORE_UNAVAILABLE`: it cannot be reached or answered an error; try again later.
 * - `STORE_CLOSED`: used after `close()`.
 * - `STORE_CONFLICT`: the write was based on an older revision; read again and decide anew.
 * - `STORE_BAD_INPUT`: the caller broke the port's rules; trying again will not help.
 * - `STORE_NEWER_SCHEMA`: written by a newer version of the program.
 */
export class StoreError extends Error {
  readonly code: StoreErrorCode;

  constructor(code: StoreErrorCode, message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = 'StoreError';
    this.code = code;
  }
}
