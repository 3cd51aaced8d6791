import { randomBytes } from 'node:crypto';
import { accessSync, constants, realpathSync, statSync } from 'node:fs';
import { type FileHandle, open, rename } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { CommandFailure, EXIT } from '../failure.ts';
import type { SortItem } from './external-sort.ts';
import { STANDARD } from './input-file.ts';
import type { TemporaryFiles } from './temporary-files.ts';

/** Where lines go. What was there before stays as it is until `finish`. */
export interface Output {
  write(batches: AsyncIterable<readonly SortItem[]>): Promise<void>;
  /** Puts what was written in its place. */
  finish(): Promise<void>;
}

/**
 * Makes an output ready: standard output, a file by way of a temporary one beside it, or something
 * that is no file, such as a pipe.
 *
 * @throws CommandFailure (2) when it cannot be written.
 */
export async function openOutput(name: string, temporary: TemporaryFiles): Promise<Output> {
  if (name === STANDARD) return { write: writeToStandard, finish: async () => undefined };
  try {
    const stats = statSync(name, { throwIfNoEntry: false });
    if (stats?.isDirectory()) throw new Error('it is a folder');
    if (stats === undefined || stats.isFile()) {
      if (stats !== undefined) accessSync(name, constants.W_OK);
      return await openFile(name, stats === undefined ? name : realpathSync(name), temporary);
    }
    const file = await open(name, 'w');
    return {
      write: (batches) => guard(name, () => writeToFile(file, batches)),
      finish: () => guard(name, () => file.close()),
    };
  } catch (error) {
    throw cannotWrite(name, error);
  }
}

async function openFile(name: string, target: string, temporary: TemporaryFiles): Promise<Output> {
  const unfinished = join(dirname(target), `.${basename(target)}.${someLetters()}.unfinished`);
  const file = await open(unfinished, 'wx');
  temporary.adopt(unfinished);
  return {
    write: (batches) => guard(name, () => writeToFile(file, batches)),
    finish: () =>
      guard(name, async () => {
        await file.close();
        await rename(unfinished, target);
        temporary.release(unfinished);
      }),
  };
}

function someLetters(): string {
  return randomBytes(4).toString('hex');
}

async function writeToFile(
  file: FileHandle,
  batches: AsyncIterable<readonly SortItem[]>,
): Promise<void> {
  for await (const text of textsOf(batches)) await file.appendFile(text);
}

async function writeToStandard(batches: AsyncIterable<readonly SortItem[]>): Promise<void> {
  // The callback tells of a failure; without a listener its event would end the process.
  process.stdout.on('error', () => undefined);
  await guard('standard output', async () => {
    for await (const text of textsOf(batches)) {
      await new Promise<void>((resolve, reject) => {
        process.stdout.write(text, (error) => (error ? reject(error) : resolve()));
      });
    }
  });
}

/** Written at once, lines. */
const LINES_AT_ONCE = 4096;

async function* textsOf(batches: AsyncIterable<readonly SortItem[]>): AsyncGenerator<string> {
  for await (const items of batches) {
    for (let from = 0; from < items.length; from += LINES_AT_ONCE) {
      const lines = items.slice(from, from + LINES_AT_ONCE).map(({ text }) => `${text}\n`);
      yield lines.join('');
    }
  }
}

async function guard(name: string, work: () => Promise<void>): Promise<void> {
  try {
    await work();
  } catch (error) {
    throw cannotWrite(name, error);
  }
}

function cannotWrite(name: string, error: unknown): CommandFailure {
  const words = error instanceof Error ? error.message : String(error);
  return new CommandFailure(EXIT.badInput, `cannot write ${name}: ${words}`, { cause: error });
}
