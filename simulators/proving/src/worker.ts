/** A thread that runs cases one after the other. */
import { parentPort } from 'node:worker_threads';
import { type CaseAnswer, type CaseOrder, judgingsOf } from './running/batch.ts';
import { runCase } from './running/run-case.ts';

parentPort?.on('message', ({ index, plan, rivals }: CaseOrder) => {
  const answer: CaseAnswer = { index, outcome: runCase(plan, judgingsOf(rivals)) };
  parentPort?.postMessage(answer);
});
