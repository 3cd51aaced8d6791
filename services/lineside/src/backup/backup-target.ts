import { createReadStream, createWriteStream, existsSync, mkdirSync } from 'node:fs';
import { rename, rm, stat, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { finished } from 'node:stream/promises';
import { createGzip, constants as zlib } from 'node:zlib';
import { CommandFailure, EXIT } from '../failure.ts';
import { onDisk } from './fingerprint.ts';
import { TAR_BLOCK_BYTES, tarHeader, tarPadding } from './tar-header.ts';

const FOLDER_MODE = 0o700;
const FILE_MODE = 0o600;

/**
 * Where a backup comes to be. Nothing has the final name before all of it is there and on disk;
 * what a killed run left behind under `.part` is removed by the next one.
 */
export interface BackupTarget {
  /** A folder in which files are made before they are kept. */
  readonly workFolder: string;
  /** Keeps a file of the work folder, by its name in it. */
  keep(name: string): Promise<void>;
  finish(): Promise<void>;
  /** Removes what is there so far. */
  giveUp(): Promise<void>;
}

/**
 * A `.tar`, `.tar.gz` or `.tgz` by the name's ending, else a folder.
 * @throws CommandFailure (2) when there is something of that name already.
 */
export async function openTarget(name: string, atMs: number): Promise<BackupTarget> {
  if (existsSync(name)) {
    throw new CommandFailure(
      EXIT.badInput,
      `${name} is there already; name another, or move it away first`,
    );
  }
  const isZipped = /\.(?:tar\.gz|tgz)$/.test(name);
  if (isZipped || name.endsWith('.tar')) return openArchive(name, isZipped, atMs);
  return openFolder(name);
}

async function freshFolder(name: string): Promise<void> {
  await rm(name, { recursive: true, force: true });
  mkdirSync(name, { recursive: true, mode: FOLDER_MODE });
}

async function openFolder(name: string): Promise<BackupTarget> {
  const workFolder = `${name}.part`;
  await freshFolder(workFolder);
  const folders = new Set([workFolder]);
  return {
    workFolder,
    keep: async (file) => {
      await onDisk(join(workFolder, file));
      folders.add(dirname(join(workFolder, file)));
    },
    finish: async () => {
      for (const folder of folders) await onDisk(folder);
      await rename(workFolder, name);
      await onDisk(dirname(name));
    },
    giveUp: () => rm(workFolder, { recursive: true, force: true }),
  };
}

async function openArchive(name: string, isZipped: boolean, atMs: number): Promise<BackupTarget> {
  const workFolder = `${name}.files.part`;
  const part = `${name}.part`;
  await freshFolder(workFolder);
  await rm(part, { recursive: true, force: true });
  await writeFile(part, '', { mode: FILE_MODE });
  const file = createWriteStream(part, { flags: 'r+' });
  const out = isZipped ? createGzip({ level: zlib.Z_BEST_SPEED }) : file;
  if (out !== file) out.pipe(file);
  let failure: unknown = null;
  file.on('error', (error) => {
    failure = error;
    out.destroy();
  });
  out.on('error', () => {});
  const write = async (bytes: Buffer): Promise<void> => {
    if (failure !== null) throw failure;
    if (!out.write(bytes)) await drained(out, file);
  };
  return {
    workFolder,
    keep: async (entry) => {
      const source = join(workFolder, entry);
      const { size } = await stat(source);
      await write(tarHeader({ name: entry, bytes: size }, atMs));
      for await (const bytes of createReadStream(source) as AsyncIterable<Buffer>) {
        await write(bytes);
      }
      await write(Buffer.alloc(tarPadding(size)));
      await rm(source);
    },
    finish: async () => {
      await write(Buffer.alloc(2 * TAR_BLOCK_BYTES));
      out.end();
      await finished(file);
      await onDisk(part);
      await rename(part, name);
      await onDisk(dirname(name));
      await rm(workFolder, { recursive: true, force: true });
    },
    giveUp: async () => {
      file.destroy();
      await rm(part, { force: true });
      await rm(workFolder, { recursive: true, force: true });
    },
  };
}

/** Rejects when the file can no longer be written, a full disk for example. */
function drained(out: NodeJS.WritableStream, file: NodeJS.WritableStream): Promise<void> {
  return new Promise((resolve, reject) => {
    const settle = (done: () => void): void => {
      out.removeListener('drain', onDrain);
      file.removeListener('error', onError);
      done();
    };
    const onDrain = (): void => settle(resolve);
    const onError = (error: Error): void => settle(() => reject(error));
    out.once('drain', onDrain);
    file.once('error', onError);
  });
}
