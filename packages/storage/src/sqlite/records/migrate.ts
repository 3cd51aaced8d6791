import type { Database } from 'better-sqlite3';
import { StoreError } from '../../ports/store-error.ts';
import { FIRST_RECORDS } from './migrations/0001-first-records.ts';
import { REPLAY } from './migrations/0002-replay.ts';
import { ALERTING_AND_ON_CALL } from './migrations/0003-alerting.ts';
import { EPISODES_BY_START } from './migrations/0004-episodes-by-start.ts';
import { CALENDARS } from './migrations/0005-calendars.ts';
import { NODE_SIGN_INS } from './migrations/0006-node-sign-ins.ts';
import type { Migration } from './migrations/migration.ts';

/** Every step in order. */
export const RECORD_MIGRATIONS: readonly Migration[] = [
  FIRST_RECORDS,
  REPLAY,
  ALERTING_AND_ON_CALL,
  EPISODES_BY_START,
  CALENDARS,
  NODE_SIGN_INS,
];

/**
 * Brings the schema up to date, each step in a transaction of its own. Another program that opens
 * the same file meanwhile waits for the step and finds it done.
 *
 * @param migrations every step in order; another list is for tests.
 * @throws StoreError `STORE_NEWER_SCHEMA` when the file has steps that this program does not know.
 */
export function migrate(
  db: Database,
  file: string,
  migrations: readonly Migration[] = RECORD_MIGRATIONS,
): void {
  const newest = migrations.at(-1)?.version ?? 0;
  const found = schemaVersion(db);
  if (found > newest) {
    const message =
      `${file} was written by a newer version of this program ` +
      `(schema ${found}, this one knows ${newest}); use that version, or a backup from before it`;
    throw new StoreError('STORE_NEWER_SCHEMA', message);
  }
  for (const { version, sql } of migrations) {
    if (version <= found) continue;
    const step = db.transaction(() => {
      if (schemaVersion(db) >= version) return;
      db.exec(sql);
      db.pragma(`user_version = ${version}`);
    });
    step.immediate();
  }
}

function schemaVersion(db: Database): number {
  return Number(db.pragma('user_version', { simple: true }));
}
