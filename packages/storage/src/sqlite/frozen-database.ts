import { closeSync, openSync, renameSync, rmSync } from 'node:fs';
import type Database from 'better-sqlite3';

/** Hashes of passwords and tokens lie in copies: nobody but the owner reads a new file. */
const FILE_MODE = 0o600;

/** The state of one database file at one moment, kept while others write to it. */
export interface FrozenDatabase {
  /** Where the database is. */
  readonly path: string;
  /** Copies that state; a file that is there is replaced when the copy is whole. */
  copy(target: string): Promise<void>;
  close(): void;
}

/**
 * Freezes a connection in a read transaction. Without that a copy starts again whenever another
 * program writes. The frozen moment keeps the write-ahead log from being folded in, so it grows
 * until `close`.
 *
 * @param pagesAStep pages copied at a time; other work of the thread goes on in between.
 */
export function freezeDatabase(
  db: Database.Database,
  path: string,
  pagesAStep: number,
): FrozenDatabase {
  db.exec('BEGIN; SELECT 1 FROM sqlite_schema LIMIT 1;');
  return {
    path,
    close: () => db.close(),
    copy: async (target) => {
      const part = `${target}.part`;
      try {
        rmSync(part, { force: true });
        createPrivateFile(part);
        await db.backup(part, { progress: () => pagesAStep });
        renameSync(part, target);
      } catch (error) {
        rmSync(part, { force: true });
        throw error;
      }
    },
  };
}

/** Creates an empty file for the owner alone where there is none. */
export function createPrivateFile(file: string): void {
  closeSync(openSync(file, 'a', FILE_MODE));
}
