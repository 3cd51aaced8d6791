import { copyFile, mkdir, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import {
  checkCopy,
  type FrozenDatabase,
  freezeStores,
  openTelemetry,
  type RowCounts,
  type TelemetrySource,
} from '@lineside/storage';
import type { DataFolder } from '../data-folder.ts';
import { version } from '../version.ts';
import { allReadings } from './all-readings.ts';
import type { BackupTarget } from './backup-target.ts';
import { fingerprint } from './fingerprint.ts';
import {
  BACKUP_FORMAT,
  isSafeName,
  type KeptFile,
  LINES_NAME,
  MANIFEST_NAME,
  type Manifest,
  RECORDS_NAME,
  WEEKS_FOLDER,
} from './manifest.ts';
import { writeLines } from './reading-lines.ts';
import { settingsFiles } from './settings-files.ts';

export interface BackupOptions {
  readonly folder: DataFolder;
  readonly source: TelemetrySource;
  readonly form: Manifest['readings']['form'];
  readonly atMs: number;
  /** Told once everything that was acknowledged up to now is sure to be in it. */
  readonly onFrozen: () => void;
  /** Told about what is left out, in words. */
  readonly onLeftOut: (words: string) => void;
}

/** Copies everything into the target; a server may run meanwhile. Gives what was kept. */
export async function takeBackup(target: BackupTarget, options: BackupOptions): Promise<Manifest> {
  const files: KeptFile[] = [];
  const work = target.workFolder;
  const keep = async (name: string, kind: KeptFile['kind'], rows: RowCounts): Promise<void> => {
    files.push({ name, kind, ...(await fingerprint(join(work, name))), rows });
    await target.keep(name);
  };
  const keepDatabase = async (
    name: string,
    kind: 'records' | 'week',
    frozen: FrozenDatabase,
  ): Promise<void> => {
    await frozen.copy(join(work, name));
    await keep(name, kind, checkCopy(join(work, name)));
  };

  if (options.form === 'lines') {
    const counts = await exportReadings(join(work, LINES_NAME), options);
    await keep(LINES_NAME, 'readings', { ...counts });
  }
  // Records come after readings, see `freezeStores`.
  const { records, telemetry } = options.folder;
  const frozen = freezeStores(records, options.form === 'weeks' ? telemetry : null);
  try {
    options.onFrozen();
    await keepDatabase(RECORDS_NAME, 'records', frozen.records);
    if (frozen.weeks.size > 0) await mkdir(join(work, WEEKS_FOLDER), { mode: 0o700 });
    for (const [name, week] of frozen.weeks) {
      await keepDatabase(`${WEEKS_FOLDER}/${name}`, 'week', week);
    }
  } finally {
    frozen.close();
  }
  for (const name of settingsFiles(options.folder.root)) {
    if (!isSafeName(name)) {
      options.onLeftOut(`${name} has an unusual name and was left out`);
      continue;
    }
    await mkdir(dirname(join(work, name)), { recursive: true, mode: 0o700 });
    await copyFile(join(options.folder.root, name), join(work, name));
    await keep(name, 'settings', {});
  }
  const manifest: Manifest = {
    format: BACKUP_FORMAT,
    lineside: version(),
    takenAt: new Date(options.atMs).toISOString(),
    readings: { store: options.source.kind, form: options.form },
    files,
  };
  await writeFile(join(work, MANIFEST_NAME), `${JSON.stringify(manifest, null, 2)}\n`, {
    mode: 0o600,
  });
  await target.keep(MANIFEST_NAME);
  return manifest;
}

async function exportReadings(
  file: string,
  { source, atMs }: BackupOptions,
): Promise<{ readings: number; values: number }> {
  const store = await openTelemetry(source);
  try {
    return await writeLines(file, allReadings(store, atMs));
  } finally {
    await store.close();
  }
}
