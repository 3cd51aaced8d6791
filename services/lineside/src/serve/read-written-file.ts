import { readFileSync } from 'node:fs';
import { WrittenFileError } from '@lineside/written-file';
import { CommandFailure, EXIT } from '../failure.ts';

/** The text of a file that somebody wrote; throws `CommandFailure` with what and which file. */
export function readWrittenFile(what: string, file: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch (error) {
    const words = error instanceof Error ? error.message : String(error);
    throw new CommandFailure(EXIT.badInput, `cannot read ${what} ${file}: ${words}`, {
      cause: error,
    });
  }
}

/** Runs what reads a written file; its mistakes become `CommandFailure`. */
export function reading<T>(read: () => T): T {
  try {
    return read();
  } catch (error) {
    if (!(error instanceof WrittenFileError)) throw error;
    throw new CommandFailure(EXIT.badInput, error.message, { cause: error });
  }
}
