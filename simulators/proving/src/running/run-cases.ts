import { availableParallelism } from 'node:os';
import { extname } from 'node:path';
import { Worker } from 'node:worker_threads';
import type { CasePlan } from '../cohorts/case-plan.ts';
import type { CaseAnswer, CaseOrder, NamedRival } from './batch.ts';
import type { CaseOutcome } from './run-case.ts';
import { runOrder } from './run-order.ts';

/** More threads than this only wait for memory; each holds one case. */
const THREADS_MOST = 8;

/** Called as each case is done, in whatever order. */
export type Progress = (done: number, of: number, outcome: CaseOutcome, index: number) => void;

/**
 * Runs cases on all cores and gives their outcomes in the order of the plans, whichever is done
 * first. From TypeScript source, which a thread cannot load, they run one after the other here.
 *
 * @throws what a case throws; the other threads are ended.
 */
export function runCases(
  plans: readonly CasePlan[],
  rivals: readonly NamedRival[],
  progress: Progress,
): Promise<readonly CaseOutcome[]> {
  return runOrders(
    plans.map((plan, index) => ({ index, plan, rivals, sweep: null, ideal: false })),
    progress,
  );
}

/** As `runCases`; outcomes stand at the index of their order, others are empty. */
export async function runOrders(
  orders: readonly CaseOrder[],
  progress: Progress,
): Promise<readonly CaseOutcome[]> {
  const queue: CaseOrder[] = [...orders];
  const outcomes: CaseOutcome[] = [];
  let done = 0;
  const take = ({ index, outcome }: CaseAnswer): void => {
    outcomes[index] = outcome;
    done += 1;
    progress(done, orders.length, outcome, index);
  };
  if (extname(import.meta.url) === '.ts') {
    for (const order of queue) take({ index: order.index, outcome: runOrder(order) });
    return outcomes;
  }
  const threads = Math.min(availableParallelism(), THREADS_MOST, orders.length);
  await Promise.all(Array.from({ length: threads }, () => runThread(queue, take)));
  return outcomes;
}

/** One thread, from its first case until the queue is empty. */
function runThread(queue: CaseOrder[], take: (answer: CaseAnswer) => void): Promise<void> {
  return new Promise((resolve, reject) => {
    const worker = new Worker(new URL('../worker.js', import.meta.url));
    const fail = (error: unknown): void => {
      queue.length = 0;
      void worker.terminate();
      reject(error instanceof Error ? error : new Error(String(error)));
    };
    const next = (): void => {
      const order = queue.shift();
      if (order !== undefined) worker.postMessage(order);
      else worker.terminate().then(() => resolve(), fail);
    };
    worker.on('message', (answer: CaseAnswer) => {
      take(answer);
      next();
    });
    worker.on('error', fail);
    next();
  });
}
