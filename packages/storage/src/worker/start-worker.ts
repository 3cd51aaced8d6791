import { Worker } from 'node:worker_threads';
import { StoreError } from '../ports/store-error.ts';
import type { WorkerAdapter } from './serve-worker.ts';
import { Transferring } from './transferring.ts';
import { workerStart } from './worker-entry.ts';
import { receiveFailure, type WorkerAnswer, type WorkerRequest } from './worker-messages.ts';

/**
 * Calls that may wait for one worker. Callers await each call, so thousands waiting means that the
 * worker hangs; refusing then keeps memory bounded.
 */
export const WORKER_MOST_WAITING_CALLS = 10_000;

/** The methods of `T` as seen from the other thread: every result is a promise. */
type AsyncMethods<T extends WorkerAdapter> = {
  readonly [K in Exclude<keyof T, 'close'>]: T[K] extends (...args: infer A) => infer R
    ? (...args: { [I in keyof A]: A[I] | Transferring<A[I]> }) => Promise<Carried<Awaited<R>>>
    : never;
};

type Carried<R> = R extends Transferring<infer V> ? V : R;

export interface WorkerHandle<T extends WorkerAdapter> {
  /** Call these. They reject with `StoreError` only. */
  readonly methods: AsyncMethods<T>;
  /** Finishes what was called before, closes the adapter and ends the thread. Repeatable. */
  close(): Promise<void>;
}

/**
 * Starts a worker thread whose entry module calls `serveWorker`, and resolves when its adapter is
 * built; rejects with the error of the adapter's constructor.
 *
 * After `close()` calls reject with `STORE_CLOSED`. When the thread crashes, waiting and later
 * calls reject with `STORE_UNAVAILABLE`; there is no second try here, since what a crashed adapter
 * had committed is for its caller to find out.
 *
 * @param entry from `workerEntry`.
 * @param options plain data, handed to the adapter's factory.
 */
export async function startWorker<T extends WorkerAdapter>(
  entry: URL,
  options: unknown,
): Promise<WorkerHandle<T>> {
  const start = workerStart(entry, options);
  const calls = new WorkerCalls(new Worker(start.script, start.options));
  await calls.ready;
  return { methods: methodsOf<T>(calls), close: () => calls.close() };
}

function methodsOf<T extends WorkerAdapter>(calls: WorkerCalls): AsyncMethods<T> {
  const made = new Map<PropertyKey, (...args: unknown[]) => Promise<unknown>>();
  return new Proxy({} as AsyncMethods<T>, {
    get: (_target, name) => {
      // A promise that resolves to the proxy asks for `then`: it has none.
      if (typeof name === 'symbol' || name === 'then' || name === 'close') return undefined;
      const method = made.get(name) ?? ((...args: unknown[]) => calls.call(name, args));
      made.set(name, method);
      return method;
    },
  });
}

interface Waiting {
  resolve(value: unknown): void;
  reject(error: StoreError): void;
}

class WorkerCalls {
  readonly ready: Promise<void>;
  readonly #worker: Worker;
  readonly #waiting = new Map<number, Waiting>();
  #lastId = 0;
  #start: Waiting | null = null;
  #closing: { readonly waiting: Waiting; readonly promise: Promise<void> } | null = null;
  #dead: StoreError | null = null;

  constructor(worker: Worker) {
    this.#worker = worker;
    this.ready = new Promise((resolve, reject) => {
      this.#start = { resolve: () => resolve(), reject };
    });
    worker.on('message', (answer: WorkerAnswer) => this.#take(answer));
    worker.on('error', (error) => this.#die(error));
    worker.on('messageerror', (error) => this.#die(error));
    worker.on('exit', (status) => this.#die(new Error(`The thread ended with status ${status}`)));
  }

  call(method: string, args: unknown[]): Promise<unknown> {
    if (this.#closing !== null) return Promise.reject(closedError(method));
    if (this.#dead !== null) return Promise.reject(this.#dead);
    if (this.#waiting.size >= WORKER_MOST_WAITING_CALLS) {
      const message = `${WORKER_MOST_WAITING_CALLS} calls wait for the store's thread already`;
      return Promise.reject(new StoreError('STORE_UNAVAILABLE', message));
    }
    this.#lastId += 1;
    const id = this.#lastId;
    const plain = args.map((one) => (one instanceof Transferring ? one.value : one));
    const buffers = args.flatMap((one) => (one instanceof Transferring ? one.buffers : []));
    return new Promise((resolve, reject) => {
      this.#waiting.set(id, { resolve, reject });
      try {
        const request: WorkerRequest = { type: 'call', id, method, args: plain };
        this.#worker.postMessage(request, buffers);
      } catch (cause) {
        this.#waiting.delete(id);
        const message = `${method} was given something that cannot go to another thread`;
        reject(new StoreError('STORE_BAD_INPUT', message, { cause }));
      }
    });
  }

  close(): Promise<void> {
    if (this.#closing === null) {
      const { waiting, promise } = deferred();
      this.#closing = { waiting, promise };
      if (this.#dead === null) {
        const request: WorkerRequest = { type: 'close' };
        this.#worker.postMessage(request);
      } else waiting.resolve(undefined);
    }
    return this.#closing.promise;
  }

  #take(answer: WorkerAnswer): void {
    if (answer.type === 'ready') this.#start?.resolve(undefined);
    else if (answer.type === 'refused') this.#start?.reject(receiveFailure(answer.failure));
    else if (answer.type === 'closed') this.#closeFailure(answer);
    else {
      const waiting = this.#waiting.get(answer.id);
      this.#waiting.delete(answer.id);
      if (answer.type === 'done') waiting?.resolve(answer.value);
      else waiting?.reject(receiveFailure(answer.failure));
    }
  }

  /** A close that worked resolves at the thread's exit, when its files are free. */
  #closeFailure(answer: Extract<WorkerAnswer, { type: 'closed' }>): void {
    if (answer.failure !== null) this.#closing?.waiting.reject(receiveFailure(answer.failure));
  }

  #die(cause: unknown): void {
    const message = "The store's thread has ended unexpectedly; restart the program";
    this.#dead ??= new StoreError('STORE_UNAVAILABLE', message, { cause });
    this.#start?.reject(this.#dead);
    for (const waiting of this.#waiting.values()) waiting.reject(this.#dead);
    this.#waiting.clear();
    this.#closing?.waiting.resolve(undefined);
  }
}

function closedError(method: string): StoreError {
  return new StoreError('STORE_CLOSED', `The store was closed before the call of ${method}`);
}

function deferred(): { readonly waiting: Waiting; readonly promise: Promise<void> } {
  let waiting: Waiting = { resolve: () => {}, reject: () => {} };
  const promise = new Promise<void>((resolve, reject) => {
    waiting = { resolve: () => resolve(), reject };
  });
  return { waiting, promise };
}
