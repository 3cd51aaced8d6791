import { basename } from 'node:path';
import type { FrozenDatabase } from './frozen-database.ts';
import { freezeRecords } from './records/back-up.ts';
import { sqliteFailure } from './sqlite-failure.ts';
import { WeekArchive } from './telemetry/week-archive.ts';
import { freezeWeeks } from './telemetry/week-backup.ts';

/** Databases of a data folder, all at one moment, while a server may write to them. */
export interface FrozenStores {
  readonly records: FrozenDatabase;
  /** Weeks of readings by the name of their file. */
  readonly weeks: ReadonlyMap<string, FrozenDatabase>;
  close(): void;
}

/**
 * Freezes readings first and records after them. The other order could lose a judgement: a late
 * reading is marked in the records before it is stored, so that records from before it beside
 * readings from after it would never have it judged. This way round there may be a mark too many.
 *
 * @param telemetryFolder folder of the weeks; null where readings are kept elsewhere.
 * @throws StoreError naming the file that cannot be read.
 */
export function freezeStores(recordsFile: string, telemetryFolder: string | null): FrozenStores {
  const weeks = new Map<string, FrozenDatabase>();
  const closeWeeks = (): void => {
    for (const week of weeks.values()) week.close();
  };
  try {
    if (telemetryFolder !== null) {
      for (const week of freezeWeeks(new WeekArchive(telemetryFolder))) {
        weeks.set(basename(week.path), week);
      }
    }
    const records = freezeRecords(recordsFile);
    return {
      records,
      weeks,
      close: () => {
        records.close();
        closeWeeks();
      },
    };
  } catch (error) {
    closeWeeks();
    throw sqliteFailure(error, recordsFile);
  }
}
