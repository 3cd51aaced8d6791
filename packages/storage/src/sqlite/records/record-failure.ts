import { StoreError } from '../../ports/store-error.ts';
import { sqliteFailure } from '../sqlite-failure.ts';

const TAKEN = /^SQLITE_CONSTRAINT_(UNIQUE|PRIMARYKEY)$/;
const DAMAGED = /^SQLITE_(CORRUPT|NOTADB)/;
const REFUSED = /^SQLITE_(CONSTRAINT|MISMATCH|TOOBIG)/;

/**
 * A failure of the record store. What is there already is `STORE_CONFLICT`; what the schema or the
 * binding of values refuses is `STORE_BAD_INPUT`; the rest as everywhere in SQLite.
 */
export function recordFailure(error: unknown, where: string): StoreError {
  if (error instanceof StoreError || !(error instanceof Error)) return sqliteFailure(error, where);
  const code = 'code' in error && typeof error.code === 'string' ? error.code : '';
  const options = { cause: error };
  if (TAKEN.test(code)) {
    return new StoreError(
      'STORE_CONFLICT',
      `Something like it is there: ${error.message}`,
      options,
    );
  }
  if (REFUSED.test(code) || error instanceof TypeError || error instanceof RangeError) {
    return new StoreError('STORE_BAD_INPUT', `This is no such record: ${error.message}`, options);
  }
  if (DAMAGED.test(code)) {
    const message = `${where} is damaged (${error.message}): stop, move the data folder away, and restore a backup`;
    return new StoreError('STORE_UNAVAILABLE', message, options);
  }
  return sqliteFailure(error, where);
}
