import { existsSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { InfluxOptions, TelemetrySource } from '@lineside/storage';
import Database from 'better-sqlite3';
import { CommandFailure, EXIT } from './failure.ts';

/** Where the parts of a data folder are. */
export interface DataFolder {
  readonly root: string;
  readonly telemetry: string;
  readonly records: string;
}

/** Unpacked files of a restore, until all of them are in place. */
export const RESTORE_FOLDER = 'restore.part';

/** Where the parts are; makes nothing. */
export function dataFolderAt(root: string): DataFolder {
  return { root, telemetry: join(root, 'telemetry'), records: join(root, 'records.db') };
}

/** Makes the folder if it is not there. Throws `CommandFailure` when it cannot be made. */
export function openDataFolder(root: string): DataFolder {
  const folder = dataFolderAt(root);
  if (existsSync(join(root, RESTORE_FOLDER))) {
    throw new CommandFailure(
      EXIT.cannotStart,
      `${root} holds a restore that was interrupted: empty the folder, and restore again`,
    );
  }
  try {
    mkdirSync(folder.telemetry, { recursive: true, mode: 0o700 });
  } catch (error) {
    throw new CommandFailure(EXIT.cannotStart, `cannot use data folder ${root}: ${words(error)}`, {
      cause: error,
    });
  }
  return folder;
}

/** Where telemetry is kept: in the folder, unless there is an InfluxDB for it. */
export function telemetrySource(folder: DataFolder, server: InfluxOptions | null): TelemetrySource {
  return server === null
    ? { kind: 'sqlite', folder: folder.telemetry }
    : { kind: 'influxdb', server };
}

/** Of a server that ran. Throws `CommandFailure` when there is none, and makes nothing. */
export function existingDataFolder(root: string): DataFolder {
  if (existsSync(join(root, 'records.db'))) return openDataFolder(root);
  throw new CommandFailure(
    EXIT.badInput,
    `${root} is no data folder of a server; name the one that 'lineside serve' has with --data`,
  );
}

/**
 * Claims a service's place in the folder. The claim is an exclusive SQLite lock, which the operating
 * system gives back when the process dies in any way, so no stale file ever has to be removed.
 * Returns a function that gives the claim back. Throws `CommandFailure` (3) when it is taken.
 */
export function claimDataFolder(folder: DataFolder, role: string): () => void {
  const claim = new Database(join(folder.root, `${role}.lock`), { timeout: 0 });
  try {
    claim.exec('BEGIN EXCLUSIVE');
  } catch (error) {
    claim.close();
    throw new CommandFailure(
      EXIT.cannotStart,
      `data folder ${folder.root} is in use by another server (${role}): ${words(error)}`,
      { cause: error },
    );
  }
  return () => claim.close();
}

function words(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
