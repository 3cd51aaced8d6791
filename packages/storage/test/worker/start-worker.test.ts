import { afterEach, describe, expect, it } from 'vitest';
import { StoreError } from '../../src/ports/store-error.ts';
import {
  startWorker,
  WORKER_MOST_WAITING_CALLS,
  type WorkerHandle,
} from '../../src/worker/start-worker.ts';
import { transferring } from '../../src/worker/transferring.ts';
import { workerEntry, workerStart } from '../../src/worker/worker-entry.ts';
import type { Counting } from './counting-entry.ts';

const ENTRY = workerEntry(import.meta.url, './counting-entry');
const open: WorkerHandle<Counting>[] = [];

async function start(first = 0): Promise<WorkerHandle<Counting>> {
  const handle = await startWorker<Counting>(ENTRY, { start: first });
  open.push(handle);
  return handle;
}

async function failureOf(promise: Promise<unknown>): Promise<StoreError> {
  const error: unknown = await promise.then(
    () => null,
    (reason: unknown) => reason,
  );
  expect(error).toBeInstanceOf(StoreError);
  return error as StoreError;
}

afterEach(async () => {
  await Promise.all(open.splice(0).map((handle) => handle.close()));
});

describe('startWorker', () => {
  it('answers calls in order, built from the options', async () => {
    const { methods } = await start(10);
    const answers = await Promise.all([methods.add(1), methods.add(2), methods.add(3)]);
    expect(answers).toEqual([11, 13, 16]);
  });

  it('moves buffers both ways instead of copying them', async () => {
    const { methods } = await start();
    const values = Float64Array.of(1, 2, Number.NaN);
    const result = await methods.doubled(transferring(values, [values.buffer]));
    expect([...result]).toEqual([2, 4, Number.NaN]);
    expect(values.buffer.byteLength).toBe(0);
    expect((await methods.big(100_000)).byteLength).toBe(100_000);
  });

  it('rejects with the error of the factory', async () => {
    const failure = await failureOf(startWorker<Counting>(ENTRY, { start: -1 }));
    expect(failure.code).toBe('STORE_NEWER_SCHEMA');
    expect(failure.message).toBe('counts.db is newer');
  });

  it('carries code, message and cause of an error', async () => {
    const { methods } = await start();
    const failure = await failureOf(methods.conflict());
    expect(failure.code).toBe('STORE_CONFLICT');
    expect(failure.message).toBe('revision 3 is stored');
    expect(failure.cause).toMatchObject({ message: 'SQLITE_CONSTRAINT: row is newer' });
  });

  it('names an unexpected error as unavailable and goes on', async () => {
    const { methods } = await start();
    expect((await failureOf(methods.fail())).code).toBe('STORE_UNAVAILABLE');
    expect(await methods.add(5)).toBe(5);
  });

  it('refuses arguments that cannot travel', async () => {
    const { methods } = await start();
    const call = methods.add as (amount: unknown) => Promise<number>;
    expect((await failureOf(call(() => 1))).code).toBe('STORE_BAD_INPUT');
    expect(await methods.add(1)).toBe(1);
  });

  it('finishes what was called before closing, promises included', async () => {
    const handle = await start();
    const answers = Promise.all([handle.methods.addLater(1), handle.methods.add(2)]);
    await Promise.all([handle.close(), handle.close()]);
    // Which of the two runs first depends on when the second message arrives; both did run.
    expect(Math.max(...(await answers))).toBe(3);
    expect((await failureOf(handle.methods.add(1))).code).toBe('STORE_CLOSED');
  });

  it('rejects waiting and later calls when the thread crashes', async () => {
    const handle = await start();
    // The crash follows the answer at once: on a busy machine it may overtake it.
    const first = await failureOf(handle.methods.crash());
    expect(['STORE_FULL', 'STORE_UNAVAILABLE']).toContain(first.code);
    const waiting = Array.from({ length: 50 }, () => handle.methods.addLater(1));
    const results = await Promise.allSettled(waiting);
    const reasons = results.flatMap((one) => (one.status === 'rejected' ? [one.reason] : []));
    for (const reason of reasons) expect(reason).toMatchObject({ code: 'STORE_UNAVAILABLE' });
    const late = await failureOf(handle.methods.stopThread());
    expect(late.code).toBe('STORE_UNAVAILABLE');
    expect((await failureOf(handle.methods.add(1))).code).toBe('STORE_UNAVAILABLE');
    await handle.close();
  });

  it('refuses calls beyond its limit', async () => {
    const { methods } = await start();
    const calls = Array.from({ length: WORKER_MOST_WAITING_CALLS }, () => methods.add(1));
    expect((await failureOf(methods.add(1))).message).toContain('10000 calls wait');
    expect((await Promise.all(calls)).at(-1)).toBe(WORKER_MOST_WAITING_CALLS);
  });
});

describe('workerEntry', () => {
  it('starts built entries directly and source through tsx', () => {
    const built = workerStart(new URL('file:///a/dist/y.js'), { start: 1 });
    expect(built.script.pathname).toBe('/a/dist/y.js');
    expect(built.options.execArgv).toEqual([]);
    const source = workerStart(new URL('file:///a/src/y.ts'), { start: 1 });
    expect(source.script.pathname).toMatch(/source-entry\.mjs$/);
  });

  it('follows the extension of the module that asks', () => {
    expect(workerEntry('file:///a/dist/x.js', './y').pathname).toBe('/a/dist/y.js');
    expect(workerEntry('file:///a/src/x.ts', './y').pathname).toBe('/a/src/y.ts');
  });
});
