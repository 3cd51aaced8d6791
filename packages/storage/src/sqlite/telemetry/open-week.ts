import Database from 'better-sqlite3';
import { StoreError } from '../../ports/store-error.ts';
import { sqliteFailure } from '../sqlite-failure.ts';
import { checkWeek, isEmptyWeek, prepareWeek } from './week-schema.ts';

/** How long a write waits for another program that writes to the same file. */
const BUSY_TIMEOUT_MS = 5_000;

/**
 * Pages in the write-ahead log before it is copied into the file: 64 MiB of 4 KiB pages. Rows of
 * hundreds of units touch the same few hundred pages again and again; a longer log copies each of
 * them once for many commits. What it costs is disk space and seconds at the next start.
 */
const CHECKPOINT_PAGES = 16_000;

/** Page cache of a writing connection, KiB: holds the newest page of each unit of a large fleet. */
const WRITER_CACHE_KIB = 65_536;
const READER_CACHE_KIB = 16_384;

/** Opens a week's file for writing and creates it when it is not there. */
export function openForWriting(path: string): Database.Database {
  return opened(path, {}, (db) => {
    db.pragma('journal_mode = WAL');
    db.pragma('synchronous = FULL');
    db.pragma(`wal_autocheckpoint = ${CHECKPOINT_PAGES}`);
    db.pragma(`cache_size = -${WRITER_CACHE_KIB}`);
    prepareWeek(db, path);
  });
}

/** Opens a week's file for reading; `null` when its creation has not been committed yet. */
export function openForReading(path: string): Database.Database | null {
  let empty = false;
  const db = opened(path, { readonly: true, fileMustExist: true }, (connection) => {
    connection.pragma(`cache_size = -${READER_CACHE_KIB}`);
    empty = isEmptyWeek(connection);
    if (!empty) checkWeek(connection, path);
  });
  if (!empty) return db;
  db.close();
  return null;
}

function opened(
  path: string,
  options: Database.Options,
  prepare: (db: Database.Database) => void,
): Database.Database {
  let db: Database.Database | null = null;
  try {
    db = new Database(path, { timeout: BUSY_TIMEOUT_MS, ...options });
    prepare(db);
    return db;
  } catch (error) {
    db?.close();
    throw weekFailure(error, path);
  }
}

const DAMAGE_CODES = /^SQLITE_(?:CORRUPT|NOTADB)/;

/** What went wrong with one week's file, as a `StoreError` that names the file. */
export function weekFailure(error: unknown, path: string): StoreError {
  if (isDamage(error)) {
    const message = `${path} is damaged or no database: move it away, or restore it from a backup`;
    return new StoreError('STORE_UNAVAILABLE', message, { cause: error });
  }
  return sqliteFailure(error, path);
}

function isDamage(error: unknown): boolean {
  return error instanceof Database.SqliteError && DAMAGE_CODES.test(error.code);
}
