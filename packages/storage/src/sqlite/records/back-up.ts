import { mkdirSync, renameSync, rmSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import Database from 'better-sqlite3';
import { StoreError } from '../../ports/store-error.ts';
import { createPrivateFile } from './open-database.ts';

/** Pages copied at a time, 1 MiB; calls are answered in between. */
const PAGES_A_STEP = 256;

/**
 * Copies the state of this moment into `target`, whose folder is created when missing; a file that
 * is there is replaced when the copy is whole. It reads through a connection of its own, frozen in
 * a read transaction: without that a copy starts again whenever another program writes.
 */
export async function backUp(file: string, target: string): Promise<void> {
  const whole = resolve(target);
  if (whole === resolve(file)) {
    throw new StoreError('STORE_BAD_INPUT', `The backup cannot go to the store's own file ${file}`);
  }
  const part = `${whole}.part`;
  const frozen = new Database(file, { readonly: true, fileMustExist: true });
  try {
    frozen.exec('BEGIN; SELECT 1 FROM sqlite_schema LIMIT 1;');
    mkdirSync(dirname(whole), { recursive: true });
    rmSync(part, { force: true });
    createPrivateFile(part);
    await frozen.backup(part, { progress: () => PAGES_A_STEP });
    renameSync(part, whole);
  } catch (error) {
    rmSync(part, { force: true });
    throw error;
  } finally {
    frozen.close();
  }
}
