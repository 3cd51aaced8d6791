import { read } from 'node:fs';
import { type FileHandle, open } from 'node:fs/promises';
import type { Readable } from 'node:stream';
import { promisify } from 'node:util';
import type { ByteSource } from './line-reader.ts';

const readAt = promisify(read);

/** A whole file, from its start. `counted` hears of every read. */
export async function fileBytes(
  path: string,
  counted: (bytes: number) => void,
): Promise<ByteSource> {
  const file: FileHandle = await open(path, 'r');
  return {
    read: async (buffer, offset) => {
      const { bytesRead } = await file.read(buffer, offset, buffer.length - offset, null);
      counted(bytesRead);
      return bytesRead;
    },
    close: () => file.close(),
  };
}

/** Part of an open file, which stays open. */
export function regionBytes(file: number, from: number, to: number): ByteSource {
  let at = from;
  return {
    read: async (buffer, offset) => {
      const length = Math.min(buffer.length - offset, to - at);
      if (length <= 0) return 0;
      const { bytesRead } = await readAt(file, buffer, offset, length, at);
      if (bytesRead === 0) throw new Error('a temporary file ended before its time');
      at += bytesRead;
      return bytesRead;
    },
    close: async () => undefined,
  };
}

/** What a stream gives. */
export function streamBytes(stream: Readable): ByteSource {
  const chunks: AsyncIterator<Buffer> = stream[Symbol.asyncIterator]();
  let rest: Buffer = Buffer.alloc(0);
  return {
    read: async (buffer, offset) => {
      while (rest.length === 0) {
        const next = await chunks.next();
        if (next.done) return 0;
        rest = next.value;
      }
      const count = rest.copy(buffer, offset);
      rest = rest.subarray(count);
      return count;
    },
    close: async () => {
      stream.destroy();
    },
  };
}
