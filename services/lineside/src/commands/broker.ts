import { mkdirSync, statSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { type Fleet, parseStoredFleet, toFleet } from '@lineside/fleet';
import { makeSecret, mosquittoHash } from '@lineside/ingest';
import { ID_PATTERN } from '@lineside/readings';
import { openRecordStore, type RecordStore } from '@lineside/storage';
import { accessRules } from '../broker-files/access-rules.ts';
import { type Admitted, admitted, OWN_USER } from '../broker-files/admitted.ts';
import { listenWarnings, nextSteps, notesOn, type Outcomes } from '../broker-files/advice.ts';
import {
  BROKER_FILES,
  type BrokerFilesOptions,
  confOptions,
} from '../broker-files/broker-options.ts';
import { mosquittoConf } from '../broker-files/mosquitto-conf.ts';
import { type OwnUser, ownUser } from '../broker-files/own-user.ts';
import { passwordFile } from '../broker-files/password-file.ts';
import { putFile } from '../broker-files/put-file.ts';
import { openDataFolder } from '../data-folder.ts';
import { CommandFailure, EXIT } from '../failure.ts';
import { fleetFrom } from '../fleet-from-file.ts';
import { dataFolderFrom } from './serve.ts';
import { withRecords } from './with-records.ts';

/** Writes what Mosquitto needs to let in the fleet's nodes, and says what to do with it. */
export async function brokerFiles(options: BrokerFilesOptions): Promise<void> {
  const conf = confOptions(options);
  const data = dataFolderFrom(options.data);
  const records = await openRecordStore({ file: openDataFolder(data).records });
  try {
    const fleet =
      options.fleet === undefined ? await storedFleet(records) : fleetFrom(options.fleet);
    const own = await ownUser(records, Date.now(), options.newPassword === true);
    const guests = admitted({
      fleet,
      credentials: await records.nodeCredentials(),
      revoked: await records.revokedNodes(),
      users: await records.brokerUsers(),
      certificates: conf.tls?.clients != null,
    });
    const outcomes = writeFiles(options.out, mosquittoConf(conf), guests, own);
    for (const [name, outcome] of Object.entries(outcomes)) {
      const file = BROKER_FILES[name as keyof Outcomes];
      process.stdout.write(`${join(options.out, file)}: ${outcome}\n`);
    }
    process.stdout.write(
      `let in: ${guests.nodes.length} nodes, ${guests.readers.length} readers\n`,
    );
    for (const step of nextSteps(outcomes, options, conf)) process.stdout.write(`${step}\n`);
    const notes = [...listenWarnings(conf), ...groupNote(options.out), ...notesOn(guests, data)];
    for (const note of notes) process.stderr.write(`${note}\n`);
    if (guests.withoutHash.length > 0) process.exitCode = EXIT.someRefused;
  } finally {
    await records.close();
  }
}

export interface BrokerReaderOptions {
  readonly site: readonly string[];
  readonly remove?: true;
  readonly data?: string;
}

/** Makes, changes or removes a user of an outside broker that may read alarms. */
export async function brokerReader(name: string, options: BrokerReaderOptions): Promise<void> {
  checkReader(name, options);
  await withRecords(options.data, async (records) => {
    if (options.remove === true) {
      if (!(await records.removeBrokerUser(name))) {
        throw new CommandFailure(EXIT.badInput, `there is no reader '${name}'`);
      }
    } else {
      await warnOfUnknownSites(records, options.site);
      const password = makeSecret();
      await records.setBrokerUser({
        name,
        sites: options.site.length === 0 ? null : options.site,
        mosquittoHash: mosquittoHash(password),
        secret: null,
        createdAtMs: Date.now(),
      });
      process.stdout.write(`username=${name}\npassword=${password}\n`);
    }
    process.stderr.write(
      "it counts once 'lineside broker files' has run and Mosquitto read them\n",
    );
  });
}

async function warnOfUnknownSites(records: RecordStore, sites: readonly string[]): Promise<void> {
  const stored = parseStoredFleet(await records.loadFleet());
  if (stored === null) return;
  const known = new Set(toFleet(stored).sites.map(({ id }) => id));
  const unknown = sites.filter((id) => !known.has(id));
  if (unknown.length === 0) return;
  process.stderr.write(
    `warning: not in the fleet: ${unknown.join(', ')}; it reads nothing of that until it is\n`,
  );
}

function checkReader(name: string, { site, remove }: BrokerReaderOptions): void {
  for (const id of [name, ...site]) {
    if (!ID_PATTERN.test(id)) {
      throw new CommandFailure(
        EXIT.badInput,
        `'${id}' is no id: expected 1 to 63 of a-z, 0-9 and -, not starting or ending with -`,
      );
    }
  }
  // A reader's name is its client id as well, and must be none that our own processes choose.
  if (name.startsWith(OWN_USER) || name === 'token') {
    throw new CommandFailure(EXIT.badInput, `'${name}' is taken: choose another name`);
  }
  if (remove === true && site.length > 0) {
    throw new CommandFailure(EXIT.badInput, '--site does not go with --remove');
  }
}

async function storedFleet(records: RecordStore): Promise<Fleet> {
  const stored = parseStoredFleet(await records.loadFleet());
  if (stored !== null) return toFleet(stored);
  throw new CommandFailure(
    EXIT.badInput,
    'no fleet is known here yet: name its file with --fleet, or start the server with it once',
  );
}

/** Passwords and rules first: a configuration that names them finds them. */
function writeFiles(out: string, conf: string, guests: Admitted, own: OwnUser): Outcomes {
  try {
    mkdirSync(out, { recursive: true, mode: 0o750 });
  } catch (error) {
    const words = error instanceof Error ? error.message : String(error);
    throw new CommandFailure(EXIT.cannotStart, `cannot make ${out}: ${words}`, { cause: error });
  }
  const put = (name: keyof typeof BROKER_FILES, text: string, mode: number) =>
    putFile(join(out, BROKER_FILES[name]), text, mode);
  return {
    passwords: put('passwords', passwordFile(guests, own), 0o640),
    accessRules: put('accessRules', accessRules(guests), 0o640),
    ownPassword: put('ownPassword', `${own.secret}\n`, 0o600),
    configuration: put('configuration', conf, 0o640),
  };
}

/** Mosquitto that root started becomes the user mosquitto before it reads passwords. */
function groupNote(out: string): readonly string[] {
  if (process.getuid?.() !== 0 || statSync(out).gid !== 0) return [];
  const folder = resolve(out);
  return [
    `${folder} belongs to group root, so that the user mosquitto cannot read it: ` +
      `chgrp -R mosquitto ${folder} && chmod 2750 ${folder}`,
  ];
}
