import { mkdirSync } from 'node:fs';
import { dirname } from 'node:path';
import Database from 'better-sqlite3';
import { createPrivateFile } from '../frozen-database.ts';
import { migrate } from './migrate.ts';

/** How long a write waits for another program that writes to the same file. */
const BUSY_TIMEOUT_MS = 5_000;

/** Turning a new file to WAL does not wait by itself for another program that does the same. */
const WAL_PAUSE_MS = 20;
const WAL_TRIES: number = BUSY_TIMEOUT_MS / WAL_PAUSE_MS;

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
