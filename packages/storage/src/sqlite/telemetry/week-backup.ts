import { mkdirSync, renameSync, rmSync } from 'node:fs';
import { join, resolve } from 'node:path';
import type Database from 'better-sqlite3';
import { StoreError } from '../../ports/store-error.ts';
import { openForReading, weekFailure } from './open-week.ts';
import { weekFileName } from './week.ts';
import type { WeekArchive } from './week-archive.ts';

/** Pages copied at a time, 4 MiB; questions are answered in between. */
const PAGES_A_STEP = 1_000;

interface Snapshot {
  readonly startMs: number;
  readonly path: string;
  readonly db: Database.Database;
}

/**
 * Copies every week into `target`, which is created; files of the same name there are replaced, each
 * only when its copy is whole.
 *
 * All weeks are frozen before any is copied, newest first: a batch that spans weeks commits oldest
 * first, so what the newest week has of it the older ones have as well. The frozen state is a read
 * transaction, without which copying would start again at each write.
 */
export async function backUpWeeks(
  archive: WeekArchive,
  source: string,
  target: string,
): Promise<void> {
  if (resolve(source) === resolve(target)) {
    throw new StoreError('STORE_BAD_INPUT', `The backup cannot go to the store's folder ${source}`);
  }
  const snapshots: Snapshot[] = [];
  try {
    mkdirSync(target, { recursive: true });
    for (const startMs of archive.weeks().reverse()) {
      const snapshot = freeze(archive.path(startMs), startMs);
      if (snapshot !== null) snapshots.push(snapshot);
    }
    for (const snapshot of snapshots) await copy(snapshot, target);
  } catch (error) {
    throw weekFailure(error, target);
  } finally {
    for (const snapshot of snapshots) snapshot.db.close();
  }
}

function freeze(path: string, startMs: number): Snapshot | null {
  const db = openForReading(path);
  if (db === null) return null;
  db.exec('BEGIN; SELECT 1 FROM sqlite_schema LIMIT 1;');
  return { startMs, path, db };
}

async function copy(snapshot: Snapshot, target: string): Promise<void> {
  const whole = join(target, weekFileName(snapshot.startMs));
  const part = `${whole}.part`;
  try {
    rmSync(part, { force: true });
    await snapshot.db.backup(part, { progress: () => PAGES_A_STEP });
    renameSync(part, whole);
  } catch (error) {
    rmSync(part, { force: true });
    throw weekFailure(error, snapshot.path);
  }
}
