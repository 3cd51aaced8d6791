import { availableParallelism } from 'node:os';
import { extname } from 'node:path';
import { Worker } from 'node:worker_threads';
import type { CasePlan } from '../cohorts/case-plan.ts';
import { type CaseAnswer, type CaseOrder, judgingsOf, type NamedRival } from './batch.ts';
import { type CaseOutcome, runCase } from './run-case.ts';

/** More threads than this only wait for memory; each holds one case. */
const THREADS_MOST = 8;

/**
 * Runs cases on all cores and gives their outcomes in the order of the plans, whichever is done
 * first. From TypeScript source, which a thread cannot load, they run one after the other here.
 *
 * @throws what a case throws; the other threads are ended.
 */
export async function runCases(
  plans: readonly CasePlan[],
  rivals: readonly NamedRival[],
  progress: (done: number, of: number) => void,
): Promise<readonly CaseOutcome[]> {
  if (extname(import.meta.url) === '.ts') {
    return plans.map((plan, index) => {
      const outcome = runCase(plan, judgingsOf(rivals));
      progress(index + 1, plans.length);
      return outcome;
    });
  }
  const threads = Math.min(availableParallelism(), THREADS_MOST, plans.length);
  const queue: CaseOrder[] = plans.map((plan, index) => ({ index, plan, rivals }));
  const outcomes: CaseOutcome[] = [];
  let done = 0;
  const take = ({ index, outcome }: CaseAnswer): void => {
    outcomes[index] = outcome;
    done += 1;
    progress(done, plans.length);
  };
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
