import { readFileSync } from 'node:fs';
import { CommandFailure, EXIT } from './failure.ts';

export type Environment = Readonly<Record<string, string | undefined>>;

/** Bytes that the file of a setting may hold: addresses and passwords are a hundredth of it. */
const MOST_BYTES = 65_536;

/**
 * The text of the setting `name`, else what the file at the path `<name>_FILE` holds, less one line
 * end at its end: so containers are handed secrets. Nothing in either counts as not set, null.
 * Throws `CommandFailure` (2) when both are set, or the file cannot be read; never repeats a value.
 */
export function settingText(environment: Environment, name: string): string | null {
  const text = environment[name]?.trim() || null;
  const file = environment[`${name}_FILE`]?.trim() || null;
  if (file === null) return text;
  if (text !== null) {
    throw new CommandFailure(
      EXIT.badInput,
      `${name} and ${name}_FILE are both set, and may differ; unset one of them`,
    );
  }
  return contents(file, `${name}_FILE`).replace(/\r?\n$/, '') || null;
}

function contents(file: string, name: string): string {
  const bytes = read(file, name);
  if (bytes.length > MOST_BYTES) {
    const most = `at most ${MOST_BYTES} bytes`;
    throw new CommandFailure(
      EXIT.badInput,
      `${name}: expected a file of ${most}, ${file} holds ${bytes.length}`,
    );
  }
  return bytes.toString('utf8');
}

function read(file: string, name: string): Buffer {
  try {
    return readFileSync(file);
  } catch (error) {
    const words = error instanceof Error ? error.message : String(error);
    throw new CommandFailure(EXIT.badInput, `${name}: cannot read ${file}: ${words}`, {
      cause: error,
    });
  }
}
