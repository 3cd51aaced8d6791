import type { Command } from 'commander';
import { openTarget } from '../backup/backup-target.ts';
import type { Manifest } from '../backup/manifest.ts';
import { takeBackup } from '../backup/take-backup.ts';
import { existingDataFolder, telemetrySource } from '../data-folder.ts';
import { CommandFailure, EXIT } from '../failure.ts';
import { readInfluxSettings } from '../influx-settings.ts';
import { checkBackupPlace } from '../readings-place.ts';
import { dataFolderFrom } from './serve.ts';

interface BackupCommandOptions {
  readonly data?: string;
  readonly out: string;
  readonly readings?: string | true;
}

const FORMS = ['weeks', 'lines', 'none'] as const;

const NOTES = `
A server may run meanwhile. What it acknowledged before this began is in the backup; of what it
acknowledges later some may be missing. The backup holds sign-ins: it is for its owner alone.
With readings in InfluxDB say what becomes of them: --readings reads all of them out of it, for
every generation and into any store; --readings none leaves them to InfluxDB's own tools
('influxd backup', 'influx backup'), which are faster.`;

export function addBackup(program: Command): void {
  program
    .command('backup')
    .description('save records, readings and settings of a data folder, while a server runs or not')
    .requiredOption('--out <file>', 'a new .tar.gz, .tgz or .tar, else a new folder')
    .option('--data <folder>', 'data folder (or LINESIDE_DATA)')
    .option(
      '--readings [form]',
      "'lines' for any store (also without a word), 'weeks' as database files, 'none'",
    )
    .addHelpText('after', NOTES)
    .action(backup);
}

async function backup(options: BackupCommandOptions): Promise<void> {
  const folder = existingDataFolder(dataFolderFrom(options.data));
  const influx = readInfluxSettings(process.env);
  const source = telemetrySource(folder, influx);
  const form = formOf(options.readings, source.kind);
  const leftOut = form === 'none' ? null : checkBackupPlace(folder, influx);
  if (leftOut !== null) say(`warning: ${leftOut}`);
  const atMs = Date.now();
  const target = await openTarget(options.out, atMs).catch((error: unknown) => {
    throw notAllowed(error, `cannot write ${options.out}`);
  });
  try {
    const manifest = await takeBackup(target, {
      folder,
      source,
      form,
      atMs,
      onFrozen: () => say('copying, with the server free to go on'),
      onLeftOut: (words) => say(`warning: ${words}`),
    });
    await target.finish();
    process.stdout.write(`${inWords(manifest)}kept in ${options.out}\n`);
  } catch (error) {
    await target.giveUp();
    throw isFull(error) ? noRoom(options.out, error) : error;
  }
}

const NOT_ALLOWED_CODES: ReadonlySet<unknown> = new Set(['EACCES', 'EPERM', 'EROFS']);

/** The same failure, said with what could not be used where this user may not. */
export function notAllowed(error: unknown, what: string): unknown {
  if (!(error instanceof Error && 'code' in error && NOT_ALLOWED_CODES.has(error.code))) {
    return error;
  }
  const message = `${what}: ${error.message}; run it as a user who may, or name another place`;
  return new CommandFailure(EXIT.cannotStart, message, { cause: error });
}

const FULL_CODES: ReadonlySet<unknown> = new Set(['ENOSPC', 'EDQUOT', 'SQLITE_FULL', 'STORE_FULL']);

function isFull(error: unknown): boolean {
  return error instanceof Error && 'code' in error && FULL_CODES.has(error.code);
}

function noRoom(out: string, cause: unknown): CommandFailure {
  const message = `no space left for ${out}; free some, or name another place. Nothing was kept`;
  return new CommandFailure(EXIT.cannotStart, message, { cause });
}

function formOf(
  stated: string | true | undefined,
  store: 'sqlite' | 'influxdb',
): (typeof FORMS)[number] {
  if (stated === undefined && store === 'influxdb') {
    throw new CommandFailure(
      EXIT.badInput,
      'readings are in InfluxDB: give --readings to have them in the backup, or --readings none ' +
        'when its own tools save them',
    );
  }
  const form = FORMS.find((one) => one === (stated === true ? 'lines' : (stated ?? 'weeks')));
  if (form === undefined) {
    const expected = `one of ${FORMS.join(', ')}`;
    throw new CommandFailure(
      EXIT.badInput,
      `--readings: expected ${expected}, found '${String(stated)}'`,
    );
  }
  if (form === 'weeks' && store === 'influxdb') {
    throw new CommandFailure(
      EXIT.badInput,
      '--readings weeks: readings are in InfluxDB, not in files; use lines or none',
    );
  }
  return form;
}

/** What is in a backup, one line a thing. */
export function inWords(manifest: Manifest): string {
  const rows = (kind: string, table: string): number =>
    manifest.files
      .filter((file) => file.kind === kind)
      .reduce((sum, file) => sum + (file.rows[table] ?? 0), 0);
  const count = (kind: string): number =>
    manifest.files.filter((file) => file.kind === kind).length;
  const readings = {
    weeks: `readings: ${rows('week', 'raw')} in ${count('week')} weeks`,
    lines: `readings: ${rows('readings', 'readings')} as lines`,
    none: 'readings: none; they are saved by other means',
  }[manifest.readings.form];
  const records = manifest.files.find(({ kind }) => kind === 'records');
  const filled = Object.entries(records?.rows ?? {}).filter(([, number]) => number > 0);
  return [
    `backup of ${manifest.takenAt} by Lineside ${manifest.lineside}`,
    readings,
    `records: ${filled.map(([table, number]) => `${table} ${number}`).join(', ')}`,
    `settings files: ${count('settings')}`,
    '',
  ].join('\n');
}

function say(words: string): void {
  process.stderr.write(`${words}\n`);
}
