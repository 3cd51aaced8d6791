import {
  chmodSync,
  closeSync,
  fsyncSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { CommandFailure, EXIT } from '../failure.ts';

export type FileOutcome = 'new' | 'changed' | 'unchanged';

/**
 * Puts the text into the file as a whole or not at all, so that a broker that reads meanwhile sees
 * the old one or the new one. A file that has the text already is not touched.
 *
 * @throws CommandFailure (3) when it cannot be written.
 */
export function putFile(path: string, text: string, mode: number): FileOutcome {
  try {
    const earlier = textOf(path);
    if (earlier === text) return 'unchanged';
    replace(path, text, mode);
    return earlier === null ? 'new' : 'changed';
  } catch (error) {
    const words = error instanceof Error ? error.message : String(error);
    throw new CommandFailure(EXIT.cannotStart, `cannot write ${path}: ${words}`, { cause: error });
  }
}

function replace(path: string, text: string, mode: number): void {
  const temporary = `${path}.${process.pid}.new`;
  const file = openSync(temporary, 'wx', 0o600);
  try {
    try {
      writeFileSync(file, text);
      fsyncSync(file);
    } finally {
      closeSync(file);
    }
    chmodSync(temporary, mode);
    renameSync(temporary, path);
  } catch (error) {
    rmSync(temporary, { force: true });
    throw error;
  }
}

function textOf(path: string): string | null {
  try {
    return readFileSync(path, 'utf8');
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return null;
    throw error;
  }
}
