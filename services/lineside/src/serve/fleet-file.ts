import { readFileSync } from 'node:fs';
import {
  applyFleet,
  type Fleet,
  parseFleetFile,
  parseStoredFleet,
  type StoredFleet,
  toFleet,
} from '@lineside/fleet';
import type { RecordStore } from '@lineside/storage';
import { WrittenFileError } from '@lineside/written-file';
import type { Logger } from 'pino';
import { CommandFailure, EXIT } from '../failure.ts';

/**
 * Applies the fleet file to the stored fleet: what it states wins, what it omits keeps its value,
 * a unit missing from it is retired. Without a file the stored fleet holds.
 */
export async function applyFleetFile(
  records: RecordStore,
  file: string | null,
  log: Logger,
): Promise<Fleet> {
  const stored = await storedFleet(records);
  if (file === null) {
    if (stored === null) {
      throw new CommandFailure(EXIT.badInput, 'no fleet is known yet; name a file with --fleet');
    }
    return toFleet(stored);
  }
  const applied = applyToStored(stored, readFleetFile(file), file);
  await records.saveFleet(applied);
  const fleet = toFleet(applied);
  const active = fleet.units.filter((unit) => !unit.retired).length;
  log.info({ file, sites: fleet.sites.length, units: active }, 'fleet file applied');
  return fleet;
}

async function storedFleet(records: RecordStore): Promise<StoredFleet | null> {
  const document = await records.loadFleet();
  if (document === null) return null;
  const stored = parseStoredFleet(document);
  if (stored === null) {
    throw new CommandFailure(
      EXIT.cannotStart,
      'the stored fleet cannot be read; it was written by another version of Lineside',
    );
  }
  return stored;
}

function readFleetFile(file: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch (error) {
    const words = error instanceof Error ? error.message : String(error);
    throw new CommandFailure(EXIT.badInput, `cannot read fleet file ${file}: ${words}`, {
      cause: error,
    });
  }
}

function applyToStored(stored: StoredFleet | null, text: string, file: string): StoredFleet {
  try {
    const applied = applyFleet(stored, parseFleetFile(text, file));
    toFleet(applied);
    return applied;
  } catch (error) {
    if (!(error instanceof WrittenFileError)) throw error;
    throw new CommandFailure(EXIT.badInput, error.message, { cause: error });
  }
}
