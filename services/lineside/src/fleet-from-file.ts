import { readFileSync } from 'node:fs';
import { applyFleet, type Fleet, parseFleetFile, toFleet } from '@lineside/fleet';
import { WrittenFileError } from '@lineside/written-file';
import { CommandFailure, EXIT } from './failure.ts';

const STANDARD_INPUT = 0;

/**
 * The fleet that a file states, on its own.
 *
 * @param file its name; `-` is standard input.
 * @throws CommandFailure (2) when it is not there or no fleet file.
 */
export function fleetFrom(file: string): Fleet {
  const name = file === '-' ? 'standard input' : file;
  try {
    const text = readFileSync(file === '-' ? STANDARD_INPUT : file, 'utf8');
    return toFleet(applyFleet(null, parseFleetFile(text, name)));
  } catch (error) {
    const words = error instanceof Error ? error.message : String(error);
    const message = error instanceof WrittenFileError ? words : `cannot read fleet file: ${words}`;
    throw new CommandFailure(EXIT.badInput, message, { cause: error });
  }
}
