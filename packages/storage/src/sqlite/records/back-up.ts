import { mkdirSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import Database from 'better-sqlite3';
import { StoreError } from '../../ports/store-error.ts';
import { type FrozenDatabase, freezeDatabase } from '../frozen-database.ts';

/** Pages copied at a time, 1 MiB; calls are answered in between. */
const PAGES_A_STEP = 256;

/**
 * Copies the state of this moment into `target`, whose folder is created when missing; a file that
 * is there is replaced when the copy is whole.
 */
export async function backUp(file: string, target: string): Promise<void> {
  const whole = resolve(target);
  if (whole === resolve(file)) {
    throw new StoreError('STORE_BAD_INPUT', `The backup cannot go to the store's own file ${file}`);
  }
  const frozen = freezeRecords(file);
  try {
    mkdirSync(dirname(whole), { recursive: true });
    await frozen.copy(whole);
  } finally {
    frozen.close();
  }
}

/** The records of this moment, through a connection of its own. */
export function freezeRecords(file: string): FrozenDatabase {
  const db = new Database(file, { readonly: true, fileMustExist: true });
  try {
    return freezeDatabase(db, file, PAGES_A_STEP);
  } catch (error) {
    db.close();
    throw error;
  }
}
