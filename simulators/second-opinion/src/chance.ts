const HASH_START = 2_166_136_261;
const HASH_PRIME = 16_777_619;

/** Numbers by chance that are the same for the same seed and name. */
export class Chance {
  private a: number;
  private b: number;
  private c: number;
  private d: number;

  constructor(seed: number, name: string) {
    let hash = HASH_START;
    for (const letter of `${seed}/${name}`) {
      hash = Math.imul(hash ^ (letter.codePointAt(0) ?? 0), HASH_PRIME);
    }
    this.a = hash | 0;
    this.b = Math.imul(hash, 2_654_435_769) | 0;
    this.c = seed | 0;
    this.d = 1;
    for (let round = 0; round < 15; round += 1) this.uniform();
  }

  /** 0 to below 1. The generator is `sfc32` (C. Doty-Humphrey; from memory). */
  uniform(): number {
    const sum = (((this.a + this.b) | 0) + this.d) | 0;
    this.d = (this.d + 1) | 0;
    this.a = this.b ^ (this.b >>> 9);
    this.b = (this.c + (this.c << 3)) | 0;
    this.c = (this.c << 21) | (this.c >>> 11);
    this.c = (this.c + sum) | 0;
    return (sum >>> 0) / 4_294_967_296;
  }

  between([low, high]: readonly [number, number]): number {
    return low + (high - low) * this.uniform();
  }

  /** Evenly spread over the decades between two numbers above 0. */
  decades([low, high]: readonly [number, number]): number {
    return low * (high / low) ** this.uniform();
  }

  /** A whole number of the range, both ends in it. */
  whole([low, high]: readonly [number, number]): number {
    return low + Math.floor(this.uniform() * (high - low + 1));
  }

  happens(share: number): boolean {
    return this.uniform() < share;
  }

  /** Mean 0, deviation 1: the sum of four uniform numbers, cut at 3.5 deviations. */
  normal(): number {
    const sum = this.uniform() + this.uniform() + this.uniform() + this.uniform();
    return (sum - 2) * 1.732_050_807_568_877_2;
  }

  waiting(mean: number): number {
    return -mean * Math.log(1 - this.uniform());
  }

  /** @throws RangeError when there is nothing to pick from. */
  pick<Item>(items: readonly Item[]): Item {
    const item = items[Math.floor(this.uniform() * items.length)];
    if (item === undefined) throw new RangeError('there is nothing to pick from');
    return item;
  }
}
