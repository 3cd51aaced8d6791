/** Sorted items in batches. */
export type Batches<T> = AsyncIterable<readonly T[]>;

/**
 * Items given on at once. With 4096 a back-test took a quarter longer: what lives longer costs the
 * garbage collector more.
 */
const BATCH_MOST_ITEMS = 512;

/**
 * Merges sorted inputs into one. Items that compare equal come in the order of the inputs. Holds
 * one batch of each input.
 */
export async function* mergeSorted<T>(
  inputs: readonly Batches<T>[],
  compare: (one: T, other: T) => number,
): AsyncGenerator<readonly T[]> {
  const heads: Head<T>[] = [];
  try {
    for (const [order, input] of inputs.entries()) {
      const head = new Head(order, input[Symbol.asyncIterator]());
      heads.push(head);
      if (!(await head.load())) heads.pop();
    }
    const heap = new HeadHeap(heads, compare);
    let out: T[] = [];
    while (true) {
      const top = heap.takeFromTop(out, BATCH_MOST_ITEMS);
      if (top === null) break;
      if (out.length >= BATCH_MOST_ITEMS) {
        yield out;
        out = [];
      }
      if (top.isEmpty && !(await top.load())) heap.removeTop();
      else heap.settleTop();
    }
    if (out.length > 0) yield out;
  } finally {
    for (const head of heads) await head.close();
  }
}

/** Where one input stands. */
class Head<T> {
  readonly order: number;
  readonly #batches: AsyncIterator<readonly T[]>;
  batch: readonly T[] = [];
  at = 0;

  constructor(order: number, batches: AsyncIterator<readonly T[]>) {
    this.order = order;
    this.#batches = batches;
  }

  get isEmpty(): boolean {
    return this.at >= this.batch.length;
  }

  /** Fetches the next batch that is not empty; false at the end. */
  async load(): Promise<boolean> {
    this.at = 0;
    do {
      const next = await this.#batches.next();
      if (next.done) {
        this.batch = [];
        return false;
      }
      this.batch = next.value;
    } while (this.batch.length === 0);
    return true;
  }

  async close(): Promise<void> {
    await this.#batches.return?.();
  }
}

/** The inputs as a heap, the one with the smallest next item on top. */
class HeadHeap<T> {
  readonly #heads: Head<T>[] = [];
  readonly #compare: (one: T, other: T) => number;

  constructor(heads: readonly Head<T>[], compare: (one: T, other: T) => number) {
    this.#compare = compare;
    this.#heads.push(...heads);
    for (let at = heads.length - 1; at >= 0; at--) this.#sink(at);
  }

  /**
   * Moves items of the top input that come before all others into `out`, until it holds `most`;
   * null when no input is left.
   */
  takeFromTop(out: T[], most: number): Head<T> | null {
    const top = this.#heads[0];
    if (top === undefined) return null;
    const second = this.#second();
    const { batch } = top;
    let at = top.at;
    do {
      const item = batch[at];
      if (item === undefined) break;
      out.push(item);
      at += 1;
      top.at = at;
    } while (out.length < most && (second === null || this.#goesBefore(top, second)));
    return top;
  }

  removeTop(): void {
    const last = this.#heads.pop();
    if (last === undefined || this.#heads.length === 0) return;
    this.#heads[0] = last;
    this.#sink(0);
  }

  settleTop(): void {
    this.#sink(0);
  }

  #second(): Head<T> | null {
    const left = this.#heads[1];
    const right = this.#heads[2];
    if (left === undefined) return null;
    return right === undefined || this.#goesBefore(left, right) ? left : right;
  }

  #goesBefore(one: Head<T>, other: Head<T>): boolean {
    const item = one.batch[one.at];
    const against = other.batch[other.at];
    if (item === undefined || against === undefined) return false;
    const difference = this.#compare(item, against);
    return difference < 0 || (difference === 0 && one.order < other.order);
  }

  #sink(from: number): void {
    const heads = this.#heads;
    let at = from;
    while (true) {
      let first = at;
      for (const child of [2 * at + 1, 2 * at + 2]) {
        const candidate = heads[child];
        const best = heads[first];
        if (candidate && best && this.#goesBefore(candidate, best)) first = child;
      }
      if (first === at) return;
      const moved = heads[at];
      const risen = heads[first];
      if (moved === undefined || risen === undefined) return;
      heads[at] = risen;
      heads[first] = moved;
      at = first;
    }
  }
}
