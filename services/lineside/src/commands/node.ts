import { parseStoredFleet, toFleet } from '@lineside/fleet';
import { makeNodeCredential } from '@lineside/ingest';
import { ID_PATTERN, WEATHER_UNIT } from '@lineside/readings';
import type { RecordStore } from '@lineside/storage';
import { CommandFailure, EXIT } from '../failure.ts';
import { withRecords } from './with-records.ts';

export interface NodeOptions {
  readonly data?: string;
}

const COUNTS_LATER =
  "an outside broker: run 'lineside broker files' and have it read them, then it counts there\n";

/** Creates or rotates the sign-in of nodes and prints it: two lines a unit, shown only this once. */
export async function nodeCreate(
  site: string,
  units: readonly string[],
  options: NodeOptions,
): Promise<void> {
  checkIds([site, ...units]);
  await withRecords(options.data, async (records) => {
    const known = await knownUnits(records, site);
    for (const unit of units) {
      if (!known.has(unit)) {
        process.stderr.write(
          `warning: ${site}/${unit} is not in the fleet; its readings are quarantined until it is\n`,
        );
      }
      const { username, password, credential } = makeNodeCredential(site, unit, Date.now());
      await records.setNodeCredential(credential);
      process.stdout.write(`username=${username}\npassword=${password}\n`);
    }
    if ((await records.brokerUsers()).length > 0) process.stderr.write(COUNTS_LATER);
  });
}

/**
 * Takes the sign-in of nodes away. The embedded broker ends their connections within seconds, and
 * takes a client certificate of theirs no more until they get a new password.
 */
export async function nodeRevoke(
  site: string,
  units: readonly string[],
  options: NodeOptions,
): Promise<void> {
  checkIds([site, ...units]);
  await withRecords(options.data, async (records) => {
    const known = await knownUnits(records, site);
    for (const unit of units) {
      const had = await records.nodeCredential(`${site}/${unit}`);
      if (had === null && !known.has(unit)) {
        process.stderr.write(
          `warning: ${site}/${unit} had no sign-in and is not in the fleet; is that the right unit?\n`,
        );
      }
      await records.revokeNode({ site, unit }, Date.now());
      process.stdout.write(`revoked ${site}/${unit}\n`);
    }
    process.stderr.write(COUNTS_LATER);
  });
}

function checkIds(ids: readonly string[]): void {
  for (const id of ids) {
    if (!ID_PATTERN.test(id)) {
      throw new CommandFailure(
        EXIT.badInput,
        `'${id}' is no id: expected 1 to 63 of a-z, 0-9 and -, not starting or ending with -`,
      );
    }
  }
}

async function knownUnits(records: RecordStore, site: string): Promise<ReadonlySet<string>> {
  const stored = parseStoredFleet(await records.loadFleet());
  if (stored === null) return new Set();
  const fleet = toFleet(stored);
  const units = fleet.units.filter((unit) => unit.site === site && !unit.retired);
  const station = fleet.sites.some((one) => one.id === site) ? [WEATHER_UNIT] : [];
  return new Set([...units.map((unit) => unit.id), ...station]);
}
