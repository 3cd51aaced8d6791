import { createToken } from '@lineside/api';
import { ROLES } from '@lineside/storage';
import { CommandFailure, EXIT } from '../failure.ts';
import { withRecords } from './with-records.ts';

export interface TokenOptions {
  readonly role: string;
  readonly site: readonly string[];
  readonly data?: string;
}

/** Prints a new bearer token, alone on standard output. Only its hash is kept. */
export async function tokenCreate(options: TokenOptions): Promise<void> {
  const role = ROLES.find((one) => one === options.role);
  if (role === undefined) {
    throw new CommandFailure(
      EXIT.badInput,
      `--role: expected one of ${ROLES.join(', ')}, found '${options.role}'`,
    );
  }
  if (role !== 'viewer' && options.site.length > 0) {
    throw new CommandFailure(EXIT.badInput, '--site goes with --role viewer only');
  }
  await withRecords(options.data, async (records) => {
    const token = await createToken(records, { role, sites: options.site, nowMs: Date.now() });
    process.stdout.write(`${token}\n`);
    if (role === 'viewer' && options.site.length === 0) {
      process.stderr.write('note: a viewer without --site sees nothing\n');
    }
  });
}
