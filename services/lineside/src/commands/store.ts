import { join } from 'node:path';
import {
  type PreparedThing,
  prepareStore,
  storeStatus,
  type TelemetrySource,
} from '@lineside/storage';
import type { Command } from 'commander';
import { EXIT } from '../failure.ts';
import { readStoreSettings, type StoreSettings } from '../settings.ts';
import { statusJson, statusText } from '../store/status-text.ts';
import { dataFolderFrom } from './serve.ts';

const DATA = ['--data <folder>', 'data folder (or LINESIDE_DATA), for readings in SQLite'] as const;

const NOTES = `
Which store and how long it keeps readings is said by LINESIDE_INFLUX_URL, _TOKEN, _ORG, _BUCKET and
LINESIDE_RETENTION_DAYS, as for 'lineside serve'; readings are in the data folder without the first.`;

const PREPARE_NOTES = `${NOTES}

A store is set to keep readings a week longer than LINESIDE_RETENTION_DAYS, so that it refuses none
that waits out an outage. Exit status: 0 everything is as wanted; 1 a person has to do the steps
that are printed; 2 bad arguments or settings; 3 the store does not answer.`;

const STATUS_NOTES = `${NOTES}

Exit status: 0 the store can be used; 2 bad arguments or settings; 3 it cannot be used.`;

export function addStore(program: Command): void {
  const store = program.command('store').description('where readings are kept');
  store
    .command('prepare')
    .description(
      'make what the store needs and set how long it keeps readings; again changes nothing',
    )
    .option('--delete-older', 'let a shorter retention delete what is stored already')
    .option(...DATA)
    .addHelpText('after', PREPARE_NOTES)
    .action(prepare);
  store
    .command('status')
    .description('which store, how much is in it, how long it is kept, what it cannot do')
    .option('--json', 'for programs')
    .option(...DATA)
    .addHelpText('after', STATUS_NOTES)
    .action(status);
}

interface StoreOptions {
  readonly data?: string;
  readonly deleteOlder?: true;
  readonly json?: true;
}

async function prepare(options: StoreOptions): Promise<void> {
  const settings = readStoreSettings(process.env);
  const things = await prepareStore(sourceOf(options, settings), {
    retentionDays: settings.retentionDays,
    mayDelete: options.deleteOlder === true,
    nowMs: Date.now(),
  });
  for (const thing of things) process.stdout.write(thingText(thing));
  if (things.some(({ outcome }) => outcome === 'to do')) process.exitCode = EXIT.someRefused;
}

async function status(options: StoreOptions): Promise<void> {
  const settings = readStoreSettings(process.env);
  const source = sourceOf(options, settings);
  const found = await storeStatus(source, settings.retentionDays, Date.now());
  process.stdout.write(options.json === true ? statusJson(found) : statusText(found));
  if (found.failure !== null) process.exitCode = EXIT.cannotStart;
}

/** Nothing is made here, so that a look at a store leaves it as it is. */
function sourceOf(options: StoreOptions, { influx }: StoreSettings): TelemetrySource {
  if (influx !== null) return { kind: 'influxdb', server: influx };
  return { kind: 'sqlite', folder: join(dataFolderFrom(options.data), 'telemetry') };
}

function thingText({ outcome, name, words, steps }: PreparedThing): string {
  const lines = [
    `${outcome.padEnd(8)}${name}: ${words}`,
    ...steps.map((step) => `        ${step}`),
  ];
  return lines.map((line) => `${line}\n`).join('');
}
