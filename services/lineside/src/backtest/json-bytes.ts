const QUOTE = 0x22;
const BACKSLASH = 0x5c;
const MINUS = 0x2d;
const POINT = 0x2e;
const ZERO = 0x30;
const NINE = 0x39;
const LETTER_F = 0x66;
const LETTER_T = 0x74;
const FIRST_PRINTED = 0x20;
const FIRST_BEYOND_ASCII = 0x80;

/** Ten to this power and below are exact in doubles. */
const EXACT_POWERS: readonly number[] = Array.from({ length: 23 }, (_, power) => 10 ** power);
/** A whole number of this many digits is exact in a double. */
const EXACT_DIGITS = 15;

const LITERALS: readonly Uint8Array[] = ['null', 'true', 'false'].map((word) => Buffer.from(word));

/**
 * Reads plain parts of a line of JSON, one after the other. Each method says whether the part is
 * there and plain; where it says no, JSON.parse must look at the line.
 */
export class JsonBytes {
  #bytes: Uint8Array = new Uint8Array(0);
  #at = 0;
  #end = 0;
  /** Where the last text is, without its quotation marks. */
  textStart = 0;
  textEnd = 0;
  /** The last number. */
  value = 0;

  open(bytes: Uint8Array, start: number, end: number): void {
    this.#bytes = bytes;
    this.#at = start;
    this.#end = end;
  }

  /** One certain byte, after white space. */
  take(byte: number): boolean {
    if (this.peek() !== byte) return false;
    this.#at += 1;
    return true;
  }

  /** The next byte that is no white space; -1 at the end. */
  peek(): number {
    const bytes = this.#bytes;
    while (this.#at < this.#end) {
      const byte = bytes[this.#at] ?? 0;
      if (!isSpace(byte)) return byte;
      this.#at += 1;
    }
    return -1;
  }

  atEnd(): boolean {
    return this.peek() === -1;
  }

  /** A text of ASCII without escapes. */
  text(): boolean {
    if (this.peek() !== QUOTE) return false;
    const bytes = this.#bytes;
    const end = this.#end;
    let at = this.#at + 1;
    this.textStart = at;
    for (; at < end; at++) {
      const byte = bytes[at] ?? 0;
      if (byte === QUOTE) {
        this.textEnd = at;
        this.#at = at + 1;
        return true;
      }
      if (byte === BACKSLASH || byte < FIRST_PRINTED || byte >= FIRST_BEYOND_ASCII) return false;
    }
    return false;
  }

  /** A number without an exponent whose digits fit a double exactly. */
  number(): boolean {
    const first = this.peek();
    const bytes = this.#bytes;
    let at = this.#at;
    const isNegative = first === MINUS;
    if (isNegative) at += 1;
    const wholeFrom = at;
    let digits = 0;
    let byte = bytes[at] ?? 0;
    while (at < this.#end && byte >= ZERO && byte <= NINE) {
      digits = digits * 10 + byte - ZERO;
      byte = bytes[++at] ?? 0;
    }
    const wholeDigits = at - wholeFrom;
    // JSON knows no leading zeros.
    if (wholeDigits === 0 || (wholeDigits > 1 && bytes[wholeFrom] === ZERO)) return false;
    let decimals = 0;
    if (at < this.#end && byte === POINT) {
      const decimalsFrom = at + 1;
      byte = bytes[++at] ?? 0;
      while (at < this.#end && byte >= ZERO && byte <= NINE) {
        digits = digits * 10 + byte - ZERO;
        byte = bytes[++at] ?? 0;
      }
      decimals = at - decimalsFrom;
      if (decimals === 0) return false;
    }
    if (wholeDigits + decimals > EXACT_DIGITS) return false;
    // Both are exact, so that the one rounding of the division is that of the decimal itself.
    const size = digits / (EXACT_POWERS[decimals] ?? Number.NaN);
    this.value = isNegative ? -size : size;
    this.#at = at;
    return true;
  }

  /** Passes over a text, a number or a literal. */
  skipPlain(): boolean {
    return this.text() || this.number() || this.#literal();
  }

  /** `true` or `false`, as 1 or 0 in `value`. */
  truth(): boolean {
    const first = this.peek();
    if ((first !== LETTER_T && first !== LETTER_F) || !this.#literal()) return false;
    this.value = first === LETTER_T ? 1 : 0;
    return true;
  }

  #literal(): boolean {
    const first = this.peek();
    for (const word of LITERALS) {
      if (word[0] !== first || this.#at + word.length > this.#end) continue;
      for (let at = 1; at < word.length; at++) {
        if (word[at] !== this.#bytes[this.#at + at]) return false;
      }
      this.#at += word.length;
      return true;
    }
    return false;
  }
}

function isSpace(byte: number): boolean {
  return byte === 0x20 || byte === 0x09 || byte === 0x0a || byte === 0x0d;
}
