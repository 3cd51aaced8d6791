import { CBOR_MOST_DEPTH, PACK_MOST_RECORDS } from './pack-limits.ts';
import { type Refusal, refusal } from './quarantine-codes.ts';

const ARRAY = 4;
const MAP = 5;
const TAG = 6;
const SIMPLE = 7;
const BYTES = 2;
const TEXT = 3;
const INDEFINITE = 31;
/** Low bits of a head whose argument stands in the next 1, 2, 4 or 8 bytes. */
const FIRST_LONG = 24;
const LAST_LONG = 27;

const TAG_DECIMAL_FRACTION = 4;
const HEAD_ARRAY_OF_TWO = 0x82;
const BREAK = 0xff;

/**
 * Walks over the bytes of a CBOR pack before the decoder sees them, so that a hostile message can
 * cause no more work or memory than its own size: no recursion beyond `CBOR_MOST_DEPTH`, no list
 * longer than the bytes that are there, no tag but the decimal fraction (the only one that SenML
 * has, RFC 8428 section 6; bignums would cost the square of their length), no text or bytes in
 * chunks (section 6 asks for definite length).
 *
 * Well-formedness as in RFC 8949 appendix C, without recursion.
 *
 * @param bytes a message whose first byte is an array head.
 * @returns why the message is refused, or `null`.
 */
export function checkCborShape(bytes: Uint8Array): Refusal | null {
  return new ShapeWalk(bytes).run();
}

class ShapeWalk {
  readonly #bytes: Uint8Array;
  #at = 0;
  #depth = 0;
  /** Items still to come at each depth; -1 for a list that ends with a break. */
  readonly #left = new Float64Array(CBOR_MOST_DEPTH + 1);
  /** For a map that ends with a break: 1 after a key, when a value must follow. */
  readonly #halfPair = new Uint8Array(CBOR_MOST_DEPTH + 1);
  readonly #isMap = new Uint8Array(CBOR_MOST_DEPTH + 1);
  #records = 0;

  constructor(bytes: Uint8Array) {
    this.#bytes = bytes;
  }

  run(): Refusal | null {
    this.#left[0] = 1;
    while (true) {
      while (this.#left[this.#depth] === 0) {
        if (this.#depth === 0) {
          return this.#at === this.#bytes.length ? null : malformed('bytes follow the pack');
        }
        this.#depth -= 1;
      }
      const problem = this.#item();
      if (problem !== null) return problem;
    }
  }

  #item(): Refusal | null {
    const head = this.#bytes[this.#at];
    if (head === undefined) return malformed('it ends too early');
    const open = this.#left[this.#depth] ?? 0;
    if (head === BREAK) return this.#endOfList(open);
    if (this.#depth === 1) {
      this.#records += 1;
      if (this.#records > PACK_MOST_RECORDS) return tooManyRecords();
    }
    if (open > 0) this.#left[this.#depth] = open - 1;
    else this.#halfPair[this.#depth] = 1 - (this.#halfPair[this.#depth] ?? 0);
    this.#at += 1;
    return this.#body(head >> 5, head & 31);
  }

  #endOfList(open: number): Refusal | null {
    if (open !== -1) return malformed('a break outside a list that needs one');
    if (this.#isMap[this.#depth] === 1 && this.#halfPair[this.#depth] === 1) {
      return malformed('a map ends after a key');
    }
    this.#left[this.#depth] = 0;
    this.#at += 1;
    return null;
  }

  #body(major: number, low: number): Refusal | null {
    let argument = low;
    if (low >= FIRST_LONG) {
      if (low === INDEFINITE) return this.#openEnded(major);
      if (low > LAST_LONG) return malformed('a head that CBOR does not define');
      const size = 1 << (low - FIRST_LONG);
      if (this.#at + size > this.#bytes.length) return malformed('it ends too early');
      // Of numbers only the size matters; lengths and tags need the argument itself.
      if (major > 1 && major < SIMPLE) argument = this.#argument(size);
      this.#at += size;
    }
    if (major === BYTES || major === TEXT) {
      this.#at += argument;
      return this.#at > this.#bytes.length ? malformed('it ends too early') : null;
    }
    if (major === ARRAY) return this.#enter(argument, false);
    if (major === MAP) return this.#enter(argument * 2, true);
    return major === TAG ? this.#tagged(argument) : null;
  }

  #openEnded(major: number): Refusal | null {
    if (major === ARRAY || major === MAP) return this.#enter(-1, major === MAP);
    return malformed('text or bytes in chunks, which SenML does not allow');
  }

  #argument(size: number): number {
    let value = 0;
    for (let i = 0; i < size; i++) value = value * 256 + (this.#bytes[this.#at + i] ?? 0);
    return value;
  }

  #enter(items: number, isMap: boolean): Refusal | null {
    if (items > this.#bytes.length - this.#at) return malformed('it ends too early');
    if (this.#depth === CBOR_MOST_DEPTH) {
      return malformed(`nested deeper than ${CBOR_MOST_DEPTH} levels`);
    }
    if (this.#depth === 0 && items > PACK_MOST_RECORDS) return tooManyRecords();
    this.#depth += 1;
    this.#left[this.#depth] = items;
    this.#isMap[this.#depth] = isMap ? 1 : 0;
    this.#halfPair[this.#depth] = 0;
    return null;
  }

  #tagged(tag: number): Refusal | null {
    if (tag !== TAG_DECIMAL_FRACTION) return malformed(`tag ${tag}, which SenML does not use`);
    if (this.#bytes[this.#at] !== HEAD_ARRAY_OF_TWO) {
      return malformed('a decimal fraction that is no list of two');
    }
    this.#at += 1;
    return this.#enter(2, false);
  }
}

function malformed(detail: string): Refusal {
  return refusal('malformed-cbor', detail);
}

/** The refusal of a pack with more than `PACK_MOST_RECORDS` records. */
export function tooManyRecords(): Refusal {
  return refusal('too-many-records', `more than ${PACK_MOST_RECORDS}`);
}
