/** Chance from a seed: the same seed draws the same, whatever else is drawn from others. */
export class Chance {
  readonly #name: string;
  #state: number;

  constructor(seed: number, name = '') {
    this.#name = `${seed}/${name}`;
    this.#state = hashOf(this.#name);
  }

  /** A chance of its own for one part, so that parts do not disturb each other's draws. */
  of(part: string): Chance {
    return new Chance(hashOf(this.#name), part);
  }

  /** 0 to below 1. The mulberry32 step, from memory. */
  next(): number {
    this.#state = (this.#state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(this.#state ^ (this.#state >>> 15), 1 | this.#state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  }

  /** A whole number from `least` to `most`, both included. */
  whole(least: number, most: number): number {
    return least + Math.floor(this.next() * (most - least + 1));
  }

  between(least: number, most: number): number {
    return least + this.next() * (most - least);
  }

  happens(probability: number): boolean {
    return this.next() < probability;
  }

  pick<T>(list: readonly T[]): T {
    const found = list[this.whole(0, list.length - 1)];
    if (found === undefined) throw new RangeError('nothing to pick from');
    return found;
  }

  shuffled<T>(list: readonly T[]): T[] {
    return list
      .map((item) => ({ item, key: this.next() }))
      .sort((one, other) => one.key - other.key)
      .map(({ item }) => item);
  }
}

/** FNV-1a, 32 bits, from memory. */
function hashOf(text: string): number {
  let hash = 0x811c9dc5;
  for (let at = 0; at < text.length; at++) {
    hash = Math.imul(hash ^ text.charCodeAt(at), 0x01000193);
  }
  return hash >>> 0;
}
