import { createReadStream, createWriteStream, statSync } from 'node:fs';
import { open } from 'node:fs/promises';
import { PassThrough, type Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { createGunzip } from 'node:zlib';
import { CommandFailure, EXIT } from '../failure.ts';
import { fileBytes, streamBytes } from './byte-sources.ts';
import type { ByteSource } from './line-reader.ts';
import type { TemporaryFiles } from './temporary-files.ts';

/** What the command line calls standard input and output. */
export const STANDARD = '-';

/** First bytes of a gzip file, RFC 1952 section 2.3.1. */
const GZIP_MAGIC: readonly number[] = [0x1f, 0x8b];
const STREAM_CHUNK_BYTES = 262_144;

/** A file that can be read from its start as often as needed. */
export interface InputFile {
  /** As the command line has it, for messages. */
  readonly name: string;
  readonly path: string;
  readonly bytes: number;
  readonly isGzip: boolean;
}

/**
 * Makes an input ready. Standard input and pipes are copied to a temporary file first, since it
 * shows only within that an input must be sorted.
 *
 * @throws CommandFailure (2) when it is not there or cannot be read.
 */
export async function openInput(name: string, temporary: TemporaryFiles): Promise<InputFile> {
  const label = name === STANDARD ? 'standard input' : name;
  try {
    const stats = name === STANDARD ? null : statSync(name);
    if (stats?.isDirectory()) throw new Error('it is a folder');
    let path = name;
    if (stats === null || !stats.isFile()) {
      path = temporary.path('input');
      const from = name === STANDARD ? process.stdin : createReadStream(name);
      await pipeline(from, createWriteStream(path, { mode: 0o600 }));
    }
    return { name: label, path, bytes: statSync(path).size, isGzip: await isGzip(path) };
  } catch (error) {
    throw cannotRead(label, error);
  }
}

/** `counted` hears of the file's own bytes, packed or not. */
export async function inputBytes(
  { path, isGzip: packed }: InputFile,
  counted: (bytes: number) => void,
): Promise<ByteSource> {
  if (!packed) return await fileBytes(path, counted);
  const file = createReadStream(path, { highWaterMark: STREAM_CHUNK_BYTES });
  file.on('data', (chunk) => counted(chunk.length));
  return streamBytes(unpacked(file));
}

function unpacked(packed: Readable): Readable {
  const plain = new PassThrough();
  // A failure destroys `plain`, too, where its reader meets it.
  pipeline(packed, createGunzip(), plain).catch(() => undefined);
  return plain;
}

async function isGzip(path: string): Promise<boolean> {
  const file = await open(path, 'r');
  try {
    const { buffer, bytesRead } = await file.read(Buffer.alloc(GZIP_MAGIC.length), 0);
    return bytesRead === GZIP_MAGIC.length && GZIP_MAGIC.every((byte, at) => buffer[at] === byte);
  } finally {
    await file.close();
  }
}

/** What to say when an input stops being readable. */
export function cannotRead(name: string, error: unknown): CommandFailure {
  const words = error instanceof Error ? error.message : String(error);
  return new CommandFailure(EXIT.badInput, `cannot read ${name}: ${words}`, { cause: error });
}
