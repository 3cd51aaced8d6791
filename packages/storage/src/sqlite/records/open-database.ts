import { closeSync, mkdirSync, openSync } from 'node:fs';
import { dirname } from 'node:path';
import Database from 'better-sqlite3';
import { migrate } from './migrate.ts';

/** How long a write waits for another program that writes to the same file. */
const BUSY_TIMEOUT_MS = 5_000;

/** Turning a new file to WAL does not wait by itself for another program that does the same. */
const WAL_PAUSE_MS = 20;
const WAL_TRIES: number = BUSY_TIMEOUT_MS / WAL_PAUSE_MS;

/** Hashes of passwords and tokens lie in it: nobody but the owner reads a new file. */
const FILE_MODE = 0o600;

/** Opens the records' file, creates it with its folder when missing, and migrates it. */
export function openDatabase(file: string): Database.Database {
  mkdirSync(dirname(file), { recursive: true });
  createPrivateFile(file);
  const db = new Database(file, { timeout: BUSY_TIMEOUT_MS });
  try {
    useWriteAheadLog(db);
    db.pragma('synchronous = FULL');
    db.pragma('foreign_keys = ON');
    migrate(db, file);
    return db;
  } catch (error) {
    db.close();
    throw error;
  }
}

/** Creates an empty file for the owner alone where there is none. */
export function createPrivateFile(file: string): void {
  closeSync(openSync(file, 'a', FILE_MODE));
}

function useWriteAheadLog(db: Database.Database): void {
  for (let left = WAL_TRIES; ; left--) {
    try {
      db.pragma('journal_mode = WAL');
      return;
    } catch (error) {
      const isBusy = error instanceof Database.SqliteError && error.code.startsWith('SQLITE_BUSY');
      if (!isBusy || left === 0) throw error;
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, WAL_PAUSE_MS);
    }
  }
}
