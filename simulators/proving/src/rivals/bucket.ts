/** Means over equal spells of time, since charts want values that hang together less. */
export class Bucket {
  readonly #widthMs: number;
  #startMs: number = Number.NaN;
  #sum = 0;
  #count = 0;

  constructor(widthMs: number) {
    this.#widthMs = widthMs;
  }

  /** Takes a value; the mean of the spell before when `atMs` begins a new one, else null. */
  add(atMs: number, value: number): number | null {
    const startMs = Math.floor(atMs / this.#widthMs) * this.#widthMs;
    let mean: number | null = null;
    if (startMs !== this.#startMs) {
      mean = this.#count > 0 ? this.#sum / this.#count : null;
      this.#startMs = startMs;
      this.#sum = 0;
      this.#count = 0;
    }
    this.#sum += value;
    this.#count += 1;
    return mean;
  }
}
