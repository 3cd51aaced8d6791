/** A thread that runs cases one after the other. */
import { parentPort } from 'node:worker_threads';
import type { CaseAnswer, CaseOrder } from './running/batch.ts';
import { runOrder } from './running/run-order.ts';

parentPort?.on('message', (order: CaseOrder) => {
  const answer: CaseAnswer = { index: order.index, outcome: runOrder(order) };
  parentPort?.postMessage(answer);
});
