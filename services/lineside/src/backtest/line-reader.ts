/** Where bytes come from, one after the other. */
export interface ByteSource {
  /** Fills `buffer` from `offset` on; gives how many bytes came, 0 at the end. */
  read(buffer: Buffer, offset: number): Promise<number>;
  close(): Promise<void>;
}

/** Read at once. 256 KiB was no faster when it was measured, and kept more events alive. */
export const CHUNK_BYTES = 65_536;
/** A longer line is refused; the longest reading with every channel has 600 bytes. */
export const LINE_MOST_BYTES = 1_048_576;

const NEWLINE = 0x0a;
const BYTE_ORDER_MARK: readonly number[] = [0xef, 0xbb, 0xbf];

/**
 * Splits bytes into lines without making strings. `fill` reads on, then `next` steps through the
 * whole lines that are there; `start`, `end`, `number` and `tooLong` tell of the line it is at.
 * Bytes are valid until the next `fill`.
 */
export class LineReader {
  readonly #source: ByteSource;
  readonly #lineMostBytes: number;
  bytes: Buffer;
  start = 0;
  end = 0;
  /** From 1. */
  number = 0;
  /** The line was longer than a line may be; its bytes are not there. */
  tooLong = false;
  /** Where the next line starts, and where the read bytes end. */
  #next = 0;
  #filled = 0;
  #ended = false;
  /** Within a line that is too long. */
  #skipping = false;

  constructor(
    source: ByteSource,
    chunkBytes: number = CHUNK_BYTES,
    lineMostBytes: number = LINE_MOST_BYTES,
  ) {
    this.#source = source;
    this.#lineMostBytes = lineMostBytes;
    this.bytes = Buffer.allocUnsafeSlow(chunkBytes);
  }

  /** Reads on; false when there is nothing more. Call it when `next` has said no. */
  async fill(): Promise<boolean> {
    if (this.#ended) return false;
    this.#makeRoom();
    const count = await this.#source.read(this.bytes, this.#filled);
    if (this.#filled === 0 && this.number === 0 && startsWithMark(this.bytes, count)) {
      this.#next = BYTE_ORDER_MARK.length;
    }
    this.#filled += count;
    if (count === 0) this.#ended = true;
    return true;
  }

  /** Steps to the next whole line; false when more must be read first. */
  next(): boolean {
    const newline = this.bytes.indexOf(NEWLINE, this.#next);
    if (newline !== -1 && newline < this.#filled) return this.#stepTo(newline, newline + 1);
    const isRest = this.#next < this.#filled || this.#skipping;
    if (this.#ended) return isRest && this.#stepTo(this.#filled, this.#filled);
    if (this.#filled - this.#next > this.#lineMostBytes) {
      this.#skipping = true;
      this.#next = this.#filled;
    }
    return false;
  }

  #stepTo(end: number, next: number): boolean {
    this.tooLong = this.#skipping || end - this.#next > this.#lineMostBytes;
    this.#skipping = false;
    this.start = this.#next;
    this.end = end;
    this.number += 1;
    this.#next = next;
    return true;
  }

  /** Moves the unfinished line to the front, into a larger buffer when it fills this one. */
  #makeRoom(): void {
    const rest = this.#filled - this.#next;
    if (this.#next === 0 && rest === this.bytes.length) {
      const larger = Buffer.allocUnsafeSlow(this.bytes.length * 2);
      this.bytes.copy(larger, 0, 0, rest);
      this.bytes = larger;
    } else {
      this.bytes.copyWithin(0, this.#next, this.#filled);
    }
    this.#next = 0;
    this.#filled = rest;
  }
}

function startsWithMark(bytes: Buffer, count: number): boolean {
  return count >= BYTE_ORDER_MARK.length && BYTE_ORDER_MARK.every((byte, at) => bytes[at] === byte);
}
