import { createHash } from 'node:crypto';
import { createReadStream, statSync } from 'node:fs';
import { chmod, copyFile, mkdir, open, readdir, readFile, rm } from 'node:fs/promises';
import { dirname, join, relative } from 'node:path';
import { createGunzip } from 'node:zlib';
import { CommandFailure, EXIT } from '../failure.ts';
import { fingerprint } from './fingerprint.ts';
import { damaged, isSafeName, MANIFEST_NAME, type Manifest, parseManifest } from './manifest.ts';
import { parseTarHeader, TAR_BLOCK_BYTES, tarPadding } from './tar-header.ts';

interface Unpacked {
  readonly sha256: string;
  readonly bytes: number;
}

/**
 * Unpacks a backup into an empty folder and compares each file with the manifest.
 * @throws CommandFailure (2) when anything differs, is missing or is too much.
 */
export async function unpackBackup(from: string, into: string): Promise<Manifest> {
  const stats = statSync(from, { throwIfNoEntry: false });
  if (stats === undefined) {
    throw new CommandFailure(EXIT.badInput, `there is no backup ${from}`);
  }
  let found: Map<string, Unpacked>;
  try {
    found = stats.isDirectory() ? await copyFolder(from, into) : await unpackTar(from, into);
  } catch (error) {
    if (error instanceof CommandFailure || isSystemError(error)) throw error;
    throw damaged(from, error instanceof Error ? error.message : String(error), error);
  }
  if (!found.delete(MANIFEST_NAME)) throw damaged(from, `it has no ${MANIFEST_NAME}`);
  const manifest = parseManifest(await readFile(join(into, MANIFEST_NAME), 'utf8'), from);
  for (const { name, bytes, sha256 } of manifest.files) {
    const file = found.get(name);
    if (file === undefined) throw damaged(from, `${name} is missing`);
    if (file.bytes !== bytes || file.sha256 !== sha256) {
      throw damaged(from, `${name} is not what was saved`);
    }
    found.delete(name);
  }
  const [extra] = found.keys();
  if (extra !== undefined) throw damaged(from, `${extra} does not belong to it`);
  return manifest;
}

/** A full disk, say, is no damage of the backup. */
function isSystemError(error: unknown): boolean {
  return error instanceof Error && 'syscall' in error;
}

async function copyFolder(from: string, into: string): Promise<Map<string, Unpacked>> {
  const found = new Map<string, Unpacked>();
  for (const entry of await readdir(from, { recursive: true, withFileTypes: true })) {
    if (entry.isDirectory()) continue;
    const name = relative(from, join(entry.parentPath, entry.name));
    if (!entry.isFile() || !isSafeName(name)) throw damaged(from, `${name} does not belong to it`);
    await mkdir(dirname(join(into, name)), { recursive: true, mode: 0o700 });
    await copyFile(join(from, name), join(into, name));
    await chmod(join(into, name), 0o600);
    found.set(name, await fingerprint(join(into, name)));
  }
  return found;
}

async function unpackTar(from: string, into: string): Promise<Map<string, Unpacked>> {
  const found = new Map<string, Unpacked>();
  const source = new Bytes(bytesOf(from));
  for (;;) {
    const header = await source.take(TAR_BLOCK_BYTES);
    const entry = parseTarHeader(header);
    if (entry === null) return found;
    const { name, bytes } = entry;
    if (!isSafeName(name) || found.has(name)) throw damaged(from, `the entry ${name}`);
    await mkdir(dirname(join(into, name)), { recursive: true, mode: 0o700 });
    const file = await open(join(into, name), 'wx', 0o600);
    const hash = createHash('sha256');
    try {
      for await (const part of source.parts(bytes)) {
        hash.update(part);
        await file.writeFile(part);
      }
    } finally {
      await file.close();
    }
    await source.take(tarPadding(bytes));
    found.set(name, { sha256: hash.digest('hex'), bytes });
  }
}

async function* bytesOf(file: string): AsyncGenerator<Buffer> {
  const input = createReadStream(file);
  const head = await firstBytes(file);
  if (head[0] !== 0x1f || head[1] !== 0x8b) {
    yield* input;
    return;
  }
  const zip = createGunzip();
  input.on('error', (error) => zip.destroy(error));
  yield* input.pipe(zip) as AsyncIterable<Buffer>;
}

async function firstBytes(file: string): Promise<Buffer> {
  const handle = await open(file, 'r');
  try {
    const { buffer } = await handle.read(Buffer.alloc(2), 0, 2, 0);
    return buffer;
  } finally {
    await handle.close();
  }
}

/** Bytes in portions that are asked for. */
class Bytes {
  readonly #source: AsyncIterator<Buffer>;
  #rest: Buffer = Buffer.alloc(0);

  constructor(source: AsyncIterable<Buffer>) {
    this.#source = source[Symbol.asyncIterator]();
  }

  async take(count: number): Promise<Buffer> {
    const parts: Buffer[] = [];
    for await (const part of this.parts(count)) parts.push(part);
    return Buffer.concat(parts);
  }

  async *parts(count: number): AsyncGenerator<Buffer> {
    let left = count;
    while (left > 0) {
      if (this.#rest.length === 0) {
        const next = await this.#source.next();
        if (next.done === true) throw new RangeError('the archive ends in the middle');
        this.#rest = next.value;
      }
      const part = this.#rest.subarray(0, left);
      this.#rest = this.#rest.subarray(part.length);
      left -= part.length;
      yield part;
    }
  }
}

/** Removes the folder with all that is in it. */
export function removeFolder(folder: string): Promise<void> {
  return rm(folder, { recursive: true, force: true });
}
