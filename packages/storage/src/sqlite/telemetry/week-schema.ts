import { CHANNEL_NAMES } from '@lineside/readings';
import type Database from 'better-sqlite3';
import { StoreError } from '../../ports/store-error.ts';

/** Raised when an older program could no longer read a file. */
const WEEK_SCHEMA_VERSION = 1;

/** SQLite's `application_id`: tells our files from others ("LnTe" in ASCII). */
const WEEK_APPLICATION_ID = 0x4c_6e_54_65;

/**
 * A week's tables.
 *
 * - `unit`: names to numbers, with the mask of the channels that the unit has in this file, so that
 *   queries touch no other column, and with its newest quarter of an hour.
 * - `raw`: one row a reading, at `quarter` * 900,000 + `offset_ms`. The key lets a commit of a whole
 *   fleet's readings touch neighbouring pages: with the unit first, small batches were stored at a
 *   third of the rate, while one unit's rows are read as fast, a quarter at a time. A repeated
 *   reading meets its own key.
 * - `rollup`: one row a unit and quarter, with minimum, maximum, sum and count of each channel side
 *   by side. It has every quarter of a unit but its newest in this file, whose rows are read raw.
 *
 * Columns are added for channels that a newer program knows; old weeks do without them.
 */
const TABLES: string = `
  CREATE TABLE unit (
    id INTEGER PRIMARY KEY,
    site TEXT NOT NULL,
    unit TEXT NOT NULL,
    channels INTEGER NOT NULL,
    newest_quarter INTEGER NOT NULL,
    UNIQUE (site, unit)
  ) STRICT;
  CREATE TABLE raw (
    quarter INTEGER NOT NULL,
    unit_id INTEGER NOT NULL,
    offset_ms INTEGER NOT NULL,
    ${CHANNEL_NAMES.map(rawColumn).join(', ')},
    PRIMARY KEY (quarter, unit_id, offset_ms)
  ) STRICT, WITHOUT ROWID;
  CREATE TABLE rollup (
    unit_id INTEGER NOT NULL,
    quarter INTEGER NOT NULL,
    ${CHANNEL_NAMES.flatMap(rollupColumns).join(', ')},
    PRIMARY KEY (unit_id, quarter)
  ) STRICT, WITHOUT ROWID;
`;

function rawColumn(name: string): string {
  return `"${name}" REAL`;
}

function rollupColumns(name: string): string[] {
  return [`"${name}_min" REAL`, `"${name}_max" REAL`, `"${name}_sum" REAL`, `"${name}_n" INTEGER`];
}

/**
 * Creates the tables of an empty file, or checks those that are there.
 * @throws StoreError `STORE_NEWER_SCHEMA` or, for a file of another program, `STORE_UNAVAILABLE`.
 */
export function prepareWeek(db: Database.Database, file: string): void {
  if (isEmptyWeek(db)) {
    db.transaction(() => {
      db.exec(TABLES);
      db.pragma(`application_id = ${WEEK_APPLICATION_ID}`);
      db.pragma(`user_version = ${WEEK_SCHEMA_VERSION}`);
    }).immediate();
    return;
  }
  checkWeek(db, file);
  addMissingColumns(db);
}

/** Whether the file has no tables: its creation has not been committed yet. */
export function isEmptyWeek(db: Database.Database): boolean {
  return db.prepare('SELECT 1 FROM sqlite_schema LIMIT 1').get() === undefined;
}

/** Checks that a file with tables is one of ours and not from a newer program. */
export function checkWeek(db: Database.Database, file: string): void {
  if (db.pragma('application_id', { simple: true }) !== WEEK_APPLICATION_ID) {
    const message = `${file} is a database of another program: move it out of the folder`;
    throw new StoreError('STORE_UNAVAILABLE', message);
  }
  const version = Number(db.pragma('user_version', { simple: true }));
  if (version > WEEK_SCHEMA_VERSION) {
    const message = `${file} has format ${version}, written by a newer version of this program, \
which reads up to ${WEEK_SCHEMA_VERSION}: install the newer version`;
    throw new StoreError('STORE_NEWER_SCHEMA', message);
  }
}

function addMissingColumns(db: Database.Database): void {
  const columns = db.prepare<[], string>("SELECT name FROM pragma_table_info('raw')").pluck().all();
  const missing = CHANNEL_NAMES.filter((name) => !columns.includes(name));
  if (missing.length === 0) return;
  db.transaction(() => {
    for (const name of missing) {
      db.exec(`ALTER TABLE raw ADD COLUMN ${rawColumn(name)}`);
      for (const column of rollupColumns(name)) db.exec(`ALTER TABLE rollup ADD COLUMN ${column}`);
    }
  }).immediate();
}
