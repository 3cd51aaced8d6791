import { parentPort, workerData } from 'node:worker_threads';
import type { StoreError } from '../ports/store-error.ts';
import { Transferring } from './transferring.ts';
import type { WorkerStartData } from './worker-entry.ts';
import {
  asUnavailable,
  carryFailure,
  type WorkerAnswer,
  type WorkerRequest,
} from './worker-messages.ts';

/** What runs inside a worker: methods that the other thread calls by name, and an end. */
export interface WorkerAdapter {
  /** Runs after the last call was answered. */
  close(): void;
}

/**
 * To be called once by a worker's entry module: builds the adapter from the options given to
 * `startWorker` and answers calls in the order in which they arrive. A method may return a promise
 * (an online backup, say); calls behind it go on meanwhile.
 *
 * @param create builds the adapter; what it throws is what `startWorker` rejects with.
 * @param toStoreError names the failure of a method, `STORE_UNAVAILABLE` unless given.
 */
export function serveWorker<O>(
  create: (options: O) => WorkerAdapter,
  toStoreError: (error: unknown) => StoreError = asUnavailable,
): void {
  const port = parentPort;
  if (port === null) throw new Error('serveWorker runs in worker threads only');
  const send = (answer: WorkerAnswer, buffers: Transferring<unknown>['buffers'] = []): void =>
    port.postMessage(answer, [...buffers]);
  const start: WorkerStartData<O> = workerData;
  let adapter: WorkerAdapter;
  try {
    adapter = create(start.options);
  } catch (error) {
    send({ type: 'refused', failure: carryFailure(toStoreError(error)) });
    port.close();
    return;
  }
  const running = new Set<Promise<void>>();
  port.on('message', (request: WorkerRequest) => {
    if (request.type === 'close') {
      void closeAfter(running, adapter, toStoreError).then((answer) => {
        send(answer);
        port.close();
      });
      return;
    }
    const call = answerCall(adapter, request, toStoreError, send).finally(() =>
      running.delete(call),
    );
    running.add(call);
  });
  send({ type: 'ready' });
}

type Call = Extract<WorkerRequest, { type: 'call' }>;

async function answerCall(
  adapter: WorkerAdapter,
  request: Call,
  toStoreError: (error: unknown) => StoreError,
  send: (answer: WorkerAnswer, buffers?: Transferring<unknown>['buffers']) => void,
): Promise<void> {
  const { id, method, args } = request;
  try {
    const callee: unknown = Reflect.get(adapter, method);
    if (typeof callee !== 'function') throw new Error(`The worker has no method ${method}`);
    const started: unknown = callee.apply(adapter, args);
    // Awaiting only promises keeps a synchronous answer ahead of the next call's work.
    const result = started instanceof Promise ? await started : started;
    if (result instanceof Transferring) {
      send({ type: 'done', id, value: result.value }, result.buffers);
    } else send({ type: 'done', id, value: result });
  } catch (error) {
    send({ type: 'failed', id, failure: carryFailure(toStoreError(error)) });
  }
}

async function closeAfter(
  running: ReadonlySet<Promise<void>>,
  adapter: WorkerAdapter,
  toStoreError: (error: unknown) => StoreError,
): Promise<WorkerAnswer> {
  await Promise.all(running);
  try {
    adapter.close();
    return { type: 'closed', failure: null };
  } catch (error) {
    return { type: 'closed', failure: carryFailure(toStoreError(error)) };
  }
}
