/** Words that are looked up by their bytes, without making a string of them. */
export class ByteWords<T> {
  readonly #byHash: Map<number, Entry<T>[]> = new Map();

  /** @param word ASCII. */
  set(word: string, value: T): void {
    const bytes = Buffer.from(word, 'latin1');
    const hash = hashOf(bytes, 0, bytes.length);
    const entries = this.#byHash.get(hash) ?? [];
    const others = entries.filter((entry) => entry.word !== word);
    this.#byHash.set(hash, [...others, { word, bytes, value }]);
  }

  of(word: string): T | null {
    const bytes = Buffer.from(word, 'latin1');
    return this.at(bytes, 0, bytes.length);
  }

  /** The value of the word in `bytes` from `start` to before `end`; null when there is none. */
  at(bytes: Uint8Array, start: number, end: number): T | null {
    const entries = this.#byHash.get(hashOf(bytes, start, end));
    if (entries === undefined) return null;
    for (const entry of entries) if (isAt(entry.bytes, bytes, start, end)) return entry.value;
    return null;
  }
}

interface Entry<T> {
  readonly word: string;
  readonly bytes: Uint8Array;
  readonly value: T;
}

/** Small enough for V8 to keep it as a plain integer. */
const HASH_MASK = 0x3fff_ffff;

function hashOf(bytes: Uint8Array, start: number, end: number): number {
  let hash = end - start;
  for (let at = start; at < end; at++) hash = ((hash * 31) & HASH_MASK) + (bytes[at] ?? 0);
  return hash & HASH_MASK;
}

function isAt(word: Uint8Array, bytes: Uint8Array, start: number, end: number): boolean {
  if (word.length !== end - start) return false;
  for (let at = 0; at < word.length; at++) if (word[at] !== bytes[start + at]) return false;
  return true;
}
