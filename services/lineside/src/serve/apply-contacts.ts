import { statSync } from 'node:fs';
import { neverCalled } from '@lineside/alerting';
import type { Rota } from '@lineside/oncall';
import type { ContactPoint, OnCallRecords } from '@lineside/storage';
import type { Logger } from 'pino';
import { CommandFailure, EXIT } from '../failure.ts';
import { parseContactsFile, type StatedContact } from './contacts-file.ts';
import { reading, readWrittenFile } from './read-written-file.ts';

/** Permission bits of everybody but the owner and the group. */
const OTHERS_MAY_READ = 0o004;

export interface ContactsFileOptions {
  readonly records: Pick<OnCallRecords, 'contactPoints' | 'setContactPoint' | 'removeContactPoint'>;
  /** Null: the stored contact points hold. */
  readonly file: string | null;
  /** Says whose contact points they are. */
  readonly rota: Rota | null;
  /** Networks inside that may be called. */
  readonly allowedNetworks: readonly string[];
  readonly nowMs: number;
  readonly log: Logger;
}

/**
 * Applies the contacts file: it replaces what an earlier one stated; what people's devices have
 * registered stays.
 *
 * @throws CommandFailure (2) that names file, line and what to correct.
 */
export async function applyContactsFile(options: ContactsFileOptions): Promise<void> {
  const { records, file, rota, nowMs, log } = options;
  if (file === null) return;
  const text = readWrittenFile('contacts file', file);
  if ((statSync(file).mode & OTHERS_MAY_READ) !== 0) {
    log.warn({ file }, `everybody on this machine can read the contacts file; chmod 600 ${file}`);
  }
  const stated = reading(() => parseContactsFile(text, file));
  const before = new Map((await records.contactPoints()).map((one) => [one.id, one]));
  const owners = ownersIn(rota);
  const applied: ContactPoint[] = [];
  for (const one of stated) {
    const owner = ownerOf(one, owners, file, log);
    if (owner === undefined) continue;
    const known = before.get(one.id);
    if (known?.origin === 'device') throw taken(one, file);
    applied.push({
      ...one,
      person: owner,
      createdAtMs: known?.createdAtMs ?? nowMs,
      origin: 'file',
    });
  }
  for (const one of applied) await warnOfWhatIsNeverCalled(one, options);
  const ids = new Set(applied.map(({ id }) => id));
  for (const { id, origin } of before.values()) {
    if (origin === 'file' && !ids.has(id)) await records.removeContactPoint(id);
  }
  for (const one of applied) await records.setContactPoint(one);
  log.info({ file, contactPoints: applied.length }, 'contacts file applied');
  for (const id of owners.keys()) {
    if (!ids.has(id) && before.get(id)?.origin !== 'device')
      log.warn({ contact: id }, 'the rota names it, no file does');
  }
}

/** Told at the start, since nobody should learn of it from a page that did not come. */
async function warnOfWhatIsNeverCalled(
  { id, channel, address }: Pick<ContactPoint, 'id' | 'channel' | 'address'>,
  { file, allowedNetworks, log }: ContactsFileOptions,
): Promise<void> {
  if (channel !== 'webhook') return;
  const { url } = address as { readonly url: string };
  const reason = await neverCalled(new URL(url), allowedNetworks);
  if (reason === null) return;
  log.warn(
    { file, contact: id, reason },
    'pages never reach this address; LINESIDE_WEBHOOK_ALLOW names networks inside that may be called',
  );
}

/** Whose each contact point is, several when the rota names it twice; null is the office. */
function ownersIn(rota: Rota | null): ReadonlyMap<string, readonly (string | null)[]> {
  const owners = new Map<string, (string | null)[]>();
  const add = (contacts: readonly string[], owner: string | null): void => {
    for (const id of contacts) owners.set(id, [...(owners.get(id) ?? []), owner]);
  };
  for (const { id, contacts } of rota?.people ?? []) add(contacts, id);
  if (rota !== null) add(rota.office.contacts, null);
  return owners;
}

/** Without a rota everything is the office's, since every alarm asks it then. */
function ownerOf(
  { id }: StatedContact,
  owners: ReadonlyMap<string, readonly (string | null)[]>,
  file: string,
  log: Logger,
): string | null | undefined {
  if (owners.size === 0) return null;
  const [owner, other] = owners.get(id) ?? [];
  if (owner === undefined) {
    log.warn({ file, contact: id }, 'nobody in the rota has this contact point; it is not used');
    return undefined;
  }
  if (other === undefined) return owner;
  throw new CommandFailure(
    EXIT.badInput,
    `${file}: the rota gives contact point ${id} to ${owner ?? 'the office'} and to ` +
      `${other ?? 'the office'}; give each their own`,
  );
}

function taken({ id }: StatedContact, file: string): CommandFailure {
  return new CommandFailure(
    EXIT.badInput,
    `${file}: contact point ${id} has the id of a device that a person registered; rename it`,
  );
}
