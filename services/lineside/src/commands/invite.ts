import { createInvitation } from '@lineside/api';
import { openRecordStore, ROLES } from '@lineside/storage';
import type { Command } from 'commander';
import { existingDataFolder } from '../data-folder.ts';
import { CommandFailure, EXIT } from '../failure.ts';
import { urlHost } from '../serve/listening.ts';
import { readSettings } from '../settings.ts';
import { dataFolderFrom } from './serve.ts';

interface InviteOptions {
  readonly role: string;
  readonly site: readonly string[];
  readonly data?: string;
}

export function addInvite(program: Command): void {
  program
    .command('invite')
    .description('print a link by which one person gets an account; it holds once, for a week')
    .option('--role <role>', 'office, technician or viewer', 'office')
    .option('--site <id>', 'a site that a viewer may read; repeatable', collect, [])
    .option('--data <folder>', 'data folder (or LINESIDE_DATA)')
    .action(invite);
}

/** Prints the link, alone on standard output; the server may run meanwhile. */
async function invite(options: InviteOptions): Promise<void> {
  const role = ROLES.find((one) => one === options.role);
  if (role === undefined) {
    throw new CommandFailure(
      EXIT.badInput,
      `--role: expected one of ${ROLES.join(', ')}, found '${options.role}'`,
    );
  }
  const isViewer = role === 'viewer';
  if (!isViewer && options.site.length > 0) {
    throw new CommandFailure(EXIT.badInput, '--site goes with --role viewer only');
  }
  const { publicUrl, httpHost, httpPort } = readSettings(process.env);
  const folder = existingDataFolder(dataFolderFrom(options.data));
  const records = await openRecordStore({ file: folder.records });
  try {
    const sites = isViewer ? options.site : null;
    const secret = await createInvitation(records, { role, sites, nowMs: Date.now() });
    const page = publicUrl ?? `http://${urlHost(httpHost)}:${httpPort}`;
    process.stdout.write(`${page}/#/welcome/${secret}\n`);
    if (publicUrl === null) {
      process.stderr.write('note: LINESIDE_PUBLIC_URL is not set, so the link opens here only\n');
    }
    if (isViewer && sites?.length === 0) {
      process.stderr.write('note: a viewer without --site sees nothing\n');
    }
  } finally {
    await records.close();
  }
}

function collect(value: string, earlier: readonly string[]): readonly string[] {
  return [...earlier, value];
}
