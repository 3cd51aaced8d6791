import { StoreError } from '@lineside/storage';

/** What goes wrong, or only slowly, with one call of a store. */
export interface Disturbance {
  /** Wait before anything is done, ms. */
  readonly beforeMs: number;
  /** Wait after it was done, until the caller hears of it, ms. */
  readonly afterMs: number;
  /** What the caller hears instead of the answer. */
  readonly failure: StoreError | null;
  /** With a failure: whether it was done all the same, and only the answer was lost. */
  readonly isDone: boolean;
  /** Called right after it was done, before anybody hears of it. */
  readonly whenDone: (() => void) | null;
}

/** Decides over each call; null leaves it alone. */
export type Disturb = (operation: string) => Disturbance | null;

/** The synchronous methods that a store's promises stand for. */
export type Synchronous<T> = {
  readonly [K in keyof T]: T[K] extends (...args: infer A) => Promise<infer R>
    ? (...args: A) => R
    : never;
};

/**
 * The way from one handle to its data: calls one after another, as a worker thread takes them.
 * Once it is cut, nothing that was not done yet is ever done, and nobody hears an answer: what a
 * crash of the process leaves behind.
 */
export class StoreLane {
  readonly #disturb: Disturb;
  #tail: Promise<unknown> = Promise.resolve();
  #isClosed = false;
  #isCut = false;

  constructor(disturb: Disturb = () => null) {
    this.#disturb = disturb;
  }

  call<T>(operation: string, action: () => T): Promise<T> {
    if (this.#isClosed) {
      const message = `The store was closed before the call of ${operation}`;
      return Promise.reject(new StoreError('STORE_CLOSED', message));
    }
    const result = this.#tail.then(() => this.#run(operation, action));
    this.#tail = result.catch(() => {});
    return result;
  }

  async close(): Promise<void> {
    this.#isClosed = true;
    await this.#tail;
  }

  cut(): void {
    this.#isCut = true;
  }

  async #run<T>(operation: string, action: () => T): Promise<T> {
    const disturbance = this.#disturb(operation);
    if (disturbance !== null && disturbance.beforeMs > 0) await waitMs(disturbance.beforeMs);
    if (this.#isCut) return never();
    const failure = disturbance?.failure ?? null;
    if (disturbance !== null && failure !== null && !disturbance.isDone) throw failure;
    const answer = action();
    disturbance?.whenDone?.();
    if (disturbance !== null && disturbance.afterMs > 0) await waitMs(disturbance.afterMs);
    if (this.#isCut) return never();
    if (failure !== null) throw failure;
    return answer;
  }
}

/** Methods that go through the lane, one promise for each. */
export function overLane<T extends object>(lane: StoreLane, methods: Synchronous<T>): T {
  const calls = Object.entries(methods).map(([name, method]) => [
    name,
    (...args: unknown[]) => lane.call(name, () => asMethod(method)(...args)),
  ]);
  return Object.fromEntries(calls);
}

function asMethod(value: unknown): (...args: unknown[]) => unknown {
  if (typeof value !== 'function') throw new TypeError('a store has methods only');
  return (...args) => value(...args);
}

function waitMs(ms: number): Promise<void> {
  return new Promise((resolve) => {
    setTimeout(resolve, ms);
  });
}

function never<T>(): Promise<T> {
  return new Promise(() => {});
}
