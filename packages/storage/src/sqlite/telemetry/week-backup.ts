import { mkdirSync } from 'node:fs';
import { basename, join, resolve } from 'node:path';
import { StoreError } from '../../ports/store-error.ts';
import { type FrozenDatabase, freezeDatabase } from '../frozen-database.ts';
import { openForReading, weekFailure } from './open-week.ts';
import type { WeekArchive } from './week-archive.ts';

/** Pages copied at a time, 4 MiB; questions are answered in between. */
const PAGES_A_STEP = 1_000;

/**
 * Copies every week into `target`, which is created; files of the same name there are replaced, each
 * only when its copy is whole.
 */
export async function backUpWeeks(
  archive: WeekArchive,
  source: string,
  target: string,
): Promise<void> {
  if (resolve(source) === resolve(target)) {
    throw new StoreError('STORE_BAD_INPUT', `The backup cannot go to the store's folder ${source}`);
  }
  let weeks: FrozenDatabase[] = [];
  try {
    mkdirSync(target, { recursive: true });
    weeks = freezeWeeks(archive);
    for (const week of weeks) await week.copy(join(target, basename(week.path)));
  } catch (error) {
    throw weekFailure(error, target);
  } finally {
    for (const week of weeks) week.close();
  }
}

/**
 * All weeks at one moment, newest first: a batch that spans weeks commits oldest first, so what the
 * newest week has of it the older ones have as well. Errors name the week's file.
 */
export function freezeWeeks(archive: WeekArchive): FrozenDatabase[] {
  const weeks: FrozenDatabase[] = [];
  try {
    for (const startMs of archive.weeks().reverse()) {
      const path = archive.path(startMs);
      const db = openForReading(path);
      if (db !== null) weeks.push(named(freezeDatabase(db, path, PAGES_A_STEP)));
    }
    return weeks;
  } catch (error) {
    for (const week of weeks) week.close();
    throw error;
  }
}

function named(week: FrozenDatabase): FrozenDatabase {
  return {
    ...week,
    copy: async (target) => {
      try {
        await week.copy(target);
      } catch (error) {
        throw weekFailure(error, week.path);
      }
    },
  };
}
