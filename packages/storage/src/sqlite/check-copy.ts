import Database from 'better-sqlite3';
import { StoreError } from '../ports/store-error.ts';
import { sqliteFailure } from './sqlite-failure.ts';

/** Rows of each table. */
export type RowCounts = Readonly<Record<string, number>>;

/**
 * Makes a copied database one file that stands alone, has SQLite look through all of it, and counts
 * the rows of each table.
 *
 * @throws StoreError when SQLite finds damage in it.
 */
export function checkCopy(file: string): RowCounts {
  const db = new Database(file, { fileMustExist: true });
  try {
    db.pragma('journal_mode = DELETE');
    const found = String(db.pragma('quick_check(1)', { simple: true }));
    if (found !== 'ok') {
      throw new StoreError('STORE_UNAVAILABLE', `${file} is damaged: ${found}`);
    }
    const rows: Record<string, number> = {};
    for (const table of tablesOf(db)) {
      rows[table] = db.prepare<[], number>(`SELECT count(*) FROM "${table}"`).pluck().get() ?? 0;
    }
    return rows;
  } catch (error) {
    throw sqliteFailure(error, file);
  } finally {
    db.close();
  }
}

function tablesOf(db: Database.Database): string[] {
  const sql =
    "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name";
  return db.prepare<[], string>(sql).pluck().all();
}
