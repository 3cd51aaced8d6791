import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmdirSync,
  writeFileSync,
} from 'node:fs';
import { mkdir, rename, rm } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import {
  openRecordStore,
  openTelemetry,
  type TelemetrySource,
  type TelemetryStore,
} from '@lineside/storage';
import { type DataFolder, dataFolderAt, RESTORE_FOLDER } from '../data-folder.ts';
import { CommandFailure, EXIT } from '../failure.ts';
import { allReadings, storeReadings } from './all-readings.ts';
import { onDisk } from './fingerprint.ts';
import { LINES_NAME, MANIFEST_NAME, type Manifest, RECORDS_NAME } from './manifest.ts';
import { readLines } from './reading-lines.ts';
import { removeFolder, unpackBackup } from './unpack-backup.ts';

export interface RestoreOptions {
  readonly from: string;
  readonly into: string;
  /** Where readings go when not into the data folder; null: into the data folder. */
  readonly server: Extract<TelemetrySource, { kind: 'influxdb' }> | null;
}

/** Which server is being filled, and from which backup: beside the unpacked files. */
const FILLING_NAME = 'filling.part';

/**
 * Restores a backup into an empty folder. Everything is unpacked beside its place and compared with
 * its checksums first; `records.db` comes last, and until then no server starts over the folder.
 *
 * @throws CommandFailure (2) when the folder is not empty, the backup damaged or of a newer version.
 */
export async function restoreBackup(options: RestoreOptions): Promise<Manifest> {
  const { from, into, server } = options;
  const wasThere = existsSync(into);
  const stage = join(into, RESTORE_FOLDER);
  const filledBefore = refuseFilled(into, stage);
  await removeFolder(stage);
  mkdirSync(stage, { recursive: true, mode: 0o700 });
  let isFilling = false;
  try {
    const manifest = await unpackBackup(from, stage);
    await checkRecords(stage);
    const filling = [server?.server.url, server?.server.bucket, manifest.takenAt].join(' ');
    if (manifest.readings.form !== 'none') {
      await restoreReadings(options, manifest, stage, filledBefore === filling, () => {
        writeFileSync(join(stage, FILLING_NAME), filling);
        isFilling = server !== null;
      });
    }
    await moveIntoPlace(manifest, stage, into, server === null);
    return manifest;
  } catch (error) {
    // What a server has taken can only be completed from the same backup.
    if (!isFilling) {
      await removeFolder(stage);
      if (!wasThere) rmdirSync(into);
    }
    throw error;
  }
}

/** Gives what an interrupted restore was filling, null when there was none. */
function refuseFilled(into: string, stage: string): string | null {
  const there = existsSync(into) ? readdirSync(into) : [];
  const others = there.filter((name) => name !== RESTORE_FOLDER);
  if (others.length > 0) {
    throw new CommandFailure(
      EXIT.badInput,
      `${into} is not empty (${others[0]}); name an empty or new folder with --data, or move what ` +
        'is there away first',
    );
  }
  const file = join(stage, FILLING_NAME);
  return existsSync(file) ? readFileSync(file, 'utf8') : null;
}

/** Opening brings records of an older version up to date, and refuses those of a newer one. */
async function checkRecords(stage: string): Promise<void> {
  const records = await openRecordStore({ file: join(stage, RECORDS_NAME) });
  await records.close();
}

async function restoreReadings(
  { into, server }: RestoreOptions,
  manifest: Manifest,
  stage: string,
  goesOn: boolean,
  onFilling: () => void,
): Promise<void> {
  const staged = dataFolderAt(stage);
  const isWeeks = manifest.readings.form === 'weeks';
  if (isWeeks && server === null) return;
  const target = await openTelemetry(server ?? sqliteIn(staged));
  try {
    if (server !== null && !goesOn) await refuseFilledServer(target, server, into);
    onFilling();
    if (isWeeks) await copyWeeks(staged, target);
    else await storeReadings(target, readLines(join(stage, LINES_NAME)));
  } finally {
    await target.close();
  }
}

async function copyWeeks(staged: DataFolder, target: TelemetryStore): Promise<void> {
  const weeks = await openTelemetry(sqliteIn(staged));
  try {
    await storeReadings(target, allReadings(weeks, 0));
  } finally {
    await weeks.close();
  }
}

async function refuseFilledServer(
  target: TelemetryStore,
  { server }: Extract<TelemetrySource, { kind: 'influxdb' }>,
  into: string,
): Promise<void> {
  const [first] = await target.latest();
  if (first === undefined) return;
  throw new CommandFailure(
    EXIT.badInput,
    `${server.bucket} of the InfluxDB at ${new URL(server.url).host} has readings already ` +
      `(${first.site}/${first.unit}); name an empty one with LINESIDE_INFLUX_BUCKET, or drop it ` +
      `first. Nothing was restored to ${into}`,
  );
}

function sqliteIn(folder: DataFolder): TelemetrySource {
  return { kind: 'sqlite', folder: folder.telemetry };
}

async function moveIntoPlace(
  manifest: Manifest,
  stage: string,
  into: string,
  withReadings: boolean,
): Promise<void> {
  const move = async (name: string): Promise<void> => {
    await mkdir(dirname(join(into, name)), { recursive: true, mode: 0o700 });
    await rename(join(stage, name), join(into, name));
  };
  await rm(join(stage, MANIFEST_NAME));
  for (const { name, kind } of manifest.files) if (kind === 'settings') await move(name);
  const hasReadings = withReadings && existsSync(dataFolderAt(stage).telemetry);
  if (hasReadings) await move('telemetry');
  await move(RECORDS_NAME);
  await onDisk(into);
  await removeFolder(stage);
}
