import { StoreError } from '../../src/ports/store-error.ts';
import { serveWorker } from '../../src/worker/serve-worker.ts';
import { type Transferring, transferring } from '../../src/worker/transferring.ts';

export interface CountingOptions {
  readonly start: number;
}

/** An adapter that counts, and misbehaves on demand. */
export class Counting {
  #count: number;

  constructor(options: CountingOptions) {
    if (options.start < 0) throw new StoreError('STORE_NEWER_SCHEMA', 'counts.db is newer');
    this.#count = options.start;
  }

  add(amount: number): number {
    this.#count += amount;
    return this.#count;
  }

  async addLater(amount: number): Promise<number> {
    await new Promise((resolve) => setImmediate(resolve));
    return this.add(amount);
  }

  doubled(values: Float64Array): Transferring<Float64Array> {
    const result = values.map((value) => value * 2);
    return transferring(result, [result.buffer]);
  }

  big(bytes: number): Transferring<Uint8Array> {
    const result = new Uint8Array(bytes).fill(7);
    return transferring(result, [result.buffer]);
  }

  conflict(): void {
    const cause = Object.assign(new Error('row is newer'), { code: 'SQLITE_CONSTRAINT' });
    throw new StoreError('STORE_CONFLICT', 'revision 3 is stored', { cause });
  }

  fail(): void {
    throw new TypeError('broken');
  }

  crash(): void {
    setImmediate(() => {
      throw new Error('out of the blue');
    });
    throw new StoreError('STORE_FULL', 'first this');
  }

  stopThread(): void {
    process.exit(7);
  }

  close(): void {}
}

serveWorker((options: CountingOptions) => new Counting(options));
