import { StoreError } from '../ports/store-error.ts';

const FULL_CODES: ReadonlySet<string> = new Set(['SQLITE_FULL', 'ENOSPC', 'EDQUOT']);

/**
 * What SQLite or the file system reports, as a `StoreError`: no space is `STORE_FULL`, everything
 * else `STORE_UNAVAILABLE`. A `StoreError` stays as it is.
 *
 * @param where what failed, for the message: a file, as a rule.
 */
export function sqliteFailure(error: unknown, where = 'The store'): StoreError {
  if (error instanceof StoreError) return error;
  const message = error instanceof Error ? error.message : String(error);
  const code = codeOf(error);
  if (code !== null && (FULL_CODES.has(code) || isFullInputOutput(error))) {
    const text = `${where} has no space left (${message}); free some and try again`;
    return new StoreError('STORE_FULL', text, { cause: error });
  }
  const text = `${where} failed: ${message}${code === null ? '' : ` (${code})`}`;
  return new StoreError('STORE_UNAVAILABLE', text, { cause: error });
}

function codeOf(error: unknown): string | null {
  if (!(error instanceof Error) || !('code' in error)) return null;
  return typeof error.code === 'string' ? error.code : null;
}

/** Opening a journal on a full disk fails as an input/output error that only names the reason. */
function isFullInputOutput(error: unknown): boolean {
  return error instanceof Error && /no space left|disk is full/i.test(error.message);
}
