import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { InfluxOptions } from '@lineside/storage';
import type { DataFolder } from './data-folder.ts';
import { CommandFailure, EXIT } from './failure.ts';

/** Names the store that the last server over this folder kept readings in; for people as well. */
export const PLACE_FILE = 'readings-are-in';

const SQLITE = 'SQLite in the data folder';
const WEEK = /^telemetry-.*\.db$/;

function placeOf(influx: InfluxOptions | null): string {
  return influx === null ? SQLITE : `InfluxDB at ${influx.url}, ${influx.bucket}`;
}

/** Null: nothing was stored yet, or nobody noted where. */
function earlierPlace(folder: DataFolder): string | null {
  try {
    return readFileSync(join(folder.root, PLACE_FILE), 'utf8').trim();
  } catch {
    // Not noted. Folders of earlier versions with weeks in them kept readings there.
  }
  try {
    return readdirSync(folder.telemetry).some((name) => WEEK.test(name)) ? SQLITE : null;
  } catch {
    return null;
  }
}

/**
 * What to tell of readings that are elsewhere than the settings say; null when there are none. A
 * setting that was forgotten else shows only by charts that begin anew.
 */
export function placeWarning(folder: DataFolder, influx: InfluxOptions | null): string | null {
  const earlier = earlierPlace(folder);
  const now = placeOf(influx);
  if (earlier === null || earlier === now) return null;
  return (
    `readings up to now are in ${earlier}, and from now on in ${now}, which does not show them. ` +
    "By mistake: correct LINESIDE_INFLUX_URL. To move them: 'lineside backup --readings' with " +
    "the settings before, 'lineside restore' into an empty folder with the new ones"
  );
}

/** Notes where readings are from now on, so that a backup without the settings can tell. */
export function notePlace(folder: DataFolder, influx: InfluxOptions | null): void {
  const now = placeOf(influx);
  if (now === SQLITE && (earlierPlace(folder) ?? SQLITE) === SQLITE) return;
  writeFileSync(join(folder.root, PLACE_FILE), `${now}\n`, { mode: 0o600 });
}

/**
 * Sees to it that a backup finds the readings; gives what to warn of, or null.
 * Throws `CommandFailure` (2) when they are in an InfluxDB that no setting names.
 */
export function checkBackupPlace(folder: DataFolder, influx: InfluxOptions | null): string | null {
  const earlier = earlierPlace(folder);
  if (earlier === null || earlier === SQLITE) {
    return earlier === SQLITE && influx !== null
      ? `readings that are in ${SQLITE} are not in this backup, since LINESIDE_INFLUX_URL is set`
      : null;
  }
  if (influx !== null) return null;
  throw new CommandFailure(
    EXIT.badInput,
    `readings of ${folder.root} are in ${earlier}: set LINESIDE_INFLUX_URL and what belongs to it ` +
      'as for the server, or give --readings none when its own tools save them',
  );
}
