/**
 * Headers of the interchange format `ustar` of POSIX.1-1988, and the base-256 sizes that programs
 * agree on for files above 8 GiB.
 */

export const TAR_BLOCK_BYTES = 512;

const OCTAL_SIZE_END = 8 ** 11;
const SIZE_AT = 124;
const CHECKSUM_AT = 148;
const CHECKSUM_BYTES = 8;

export interface TarEntry {
  /** At most 100 bytes of ASCII. */
  readonly name: string;
  readonly bytes: number;
}

/** A header of a regular file that nobody but its owner may read. */
export function tarHeader({ name, bytes }: TarEntry, atMs: number): Buffer {
  const block = Buffer.alloc(TAR_BLOCK_BYTES);
  if (block.write(name, 0, 100, 'latin1') < name.length) {
    throw new RangeError(`${name} is too long for a tar archive, at most 100 characters`);
  }
  block.write('0000600\0', 100);
  block.write('0000000\0', 108);
  block.write('0000000\0', 116);
  writeSize(block, bytes);
  block.write(`${octal(Math.floor(atMs / 1000), 11)}\0`, 136);
  block.write('0', 156);
  block.write('ustar\x0000', 257, 'latin1');
  block.write(`${octal(checksumOf(block), 6)}\0 `, CHECKSUM_AT);
  return block;
}

/** Bytes of padding behind a file. */
export function tarPadding(bytes: number): number {
  return (TAR_BLOCK_BYTES - (bytes % TAR_BLOCK_BYTES)) % TAR_BLOCK_BYTES;
}

/** Null at the end of the archive. @throws RangeError when it is no header of a regular file. */
export function parseTarHeader(block: Buffer): TarEntry | null {
  if (block.every((byte) => byte === 0)) return null;
  const said = Number.parseInt(block.toString('latin1', CHECKSUM_AT, CHECKSUM_AT + 7), 8);
  if (said !== checksumOf(block)) throw new RangeError('the checksum of a tar header is wrong');
  const type = block.toString('latin1', 156, 157);
  if (type !== '0' && type !== '\0') throw new RangeError(`tar entry of type '${type}'`);
  const name = block.toString('latin1', 0, 100).replace(/\0.*$/s, '');
  return { name, bytes: readSize(block) };
}

function checksumOf(block: Buffer): number {
  let sum = 0;
  for (let at = 0; at < TAR_BLOCK_BYTES; at++) {
    const isChecksum = at >= CHECKSUM_AT && at < CHECKSUM_AT + CHECKSUM_BYTES;
    sum += isChecksum ? 0x20 : (block[at] ?? 0);
  }
  return sum;
}

function writeSize(block: Buffer, bytes: number): void {
  if (bytes < OCTAL_SIZE_END) {
    block.write(`${octal(bytes, 11)}\0`, SIZE_AT);
    return;
  }
  block[SIZE_AT] = 0x80;
  block.writeBigUInt64BE(BigInt(bytes), SIZE_AT + 4);
}

function readSize(block: Buffer): number {
  if (block[SIZE_AT] === 0x80) return Number(block.readBigUInt64BE(SIZE_AT + 4));
  return Number.parseInt(block.toString('latin1', SIZE_AT, SIZE_AT + 11), 8);
}

function octal(value: number, digits: number): string {
  return value.toString(8).padStart(digits, '0');
}
