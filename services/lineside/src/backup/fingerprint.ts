import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { open } from 'node:fs/promises';

/** SHA-256 and size of a file, read in parts. */
export async function fingerprint(file: string): Promise<{ sha256: string; bytes: number }> {
  const hash = createHash('sha256');
  let bytes = 0;
  for await (const part of createReadStream(file) as AsyncIterable<Buffer>) {
    hash.update(part);
    bytes += part.length;
  }
  return { sha256: hash.digest('hex'), bytes };
}

/** Has a file, or a folder's list of names, on the disk and not only in memory. */
export async function onDisk(path: string): Promise<void> {
  const handle = await open(path, 'r');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}
