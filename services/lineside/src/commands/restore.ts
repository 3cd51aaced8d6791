import type { Command } from 'commander';
import { restoreBackup } from '../backup/restore-backup.ts';
import { readInfluxSettings } from '../influx-settings.ts';
import { inWords, notAllowed } from './backup.ts';
import { dataFolderFrom } from './serve.ts';

interface RestoreCommandOptions {
  readonly from: string;
  readonly data?: string;
}

const NOTES = `
Only into an empty or new folder. Nothing is touched before all of the backup has its checksums.
With LINESIDE_INFLUX_URL readings go into that InfluxDB, whose bucket must have none yet, wherever
they were kept before; this is also how readings move from files to InfluxDB. A restore that was
interrupted while InfluxDB was filled goes on when the same is asked again.`;

export function addRestore(program: Command): void {
  program
    .command('restore')
    .description('put a backup into an empty data folder')
    .requiredOption('--from <backup>', "what 'lineside backup' wrote")
    .option('--data <folder>', 'data folder (or LINESIDE_DATA)')
    .addHelpText('after', NOTES)
    .action(restore);
}

async function restore(options: RestoreCommandOptions): Promise<void> {
  const into = dataFolderFrom(options.data);
  const influx = readInfluxSettings(process.env);
  const server = influx === null ? null : ({ kind: 'influxdb', server: influx } as const);
  const manifest = await restoreBackup({ from: options.from, into, server }).catch(
    (error: unknown) => {
      throw notAllowed(error, `cannot restore to ${into}`);
    },
  );
  process.stdout.write(
    `${inWords(manifest)}restored to ${into}; 'lineside serve --data ${into}' goes on from there\n`,
  );
}
