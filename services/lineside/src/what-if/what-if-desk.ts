import { randomUUID } from 'node:crypto';
import type { WhatIfDesk, WhatIfQuestion, WhatIfState } from '@lineside/api';
import type { Replayer } from '@lineside/ingest';
import { runWhatIf, type WhatIfParts } from './what-if-run.ts';

/** Finished runs that can still be asked for; the oldest goes when another one begins. */
const RUNS_KEPT = 10;

export interface WhatIfDeskParts {
  readonly records: WhatIfParts['records'];
  /** Each run has a thread of its own, and only while it runs. */
  readonly openReplayer: () => Promise<Replayer>;
  readonly clock: () => number;
}

interface Run {
  state: WhatIfState;
  readonly abort: AbortController;
}

/** Runs what-if questions one at a time, so that late readings and live units do not wait. */
export function createWhatIfDesk({
  records,
  openReplayer,
  clock,
}: WhatIfDeskParts): WhatIfDesk & { close(): Promise<void> } {
  const runs = new Map<string, Run>();
  let running: Promise<void> | null = null;

  const begin = async (run: Run, question: WhatIfQuestion): Promise<void> => {
    const { abort } = run;
    try {
      const replayer = await openReplayer();
      const parts = { records, replayer };
      const answer = await runWhatIf(parts, question, abort.signal, (unitsDone) => {
        run.state = { ...run.state, unitsDone };
      }).finally(() => replayer.close());
      run.state = { ...run.state, state: 'done', answer };
    } catch (error) {
      const words = error instanceof Error ? error.message : String(error);
      run.state = abort.signal.aborted
        ? { ...run.state, state: 'cancelled' }
        : { ...run.state, state: 'failed', reason: words };
    }
  };

  return {
    start: (question) => {
      if (running !== null) return null;
      const { units, limits, fromMs, toMs } = question;
      const state: WhatIfState = {
        id: randomUUID(),
        state: 'running',
        startedAtMs: clock(),
        limits,
        fromMs,
        toMs,
        units: units.length,
        unitsDone: 0,
        reason: null,
        answer: null,
      };
      const run: Run = { state, abort: new AbortController() };
      runs.set(state.id, run);
      for (const id of [...runs.keys()].slice(0, -RUNS_KEPT)) runs.delete(id);
      running = begin(run, question).finally(() => {
        running = null;
      });
      return state;
    },
    find: (id) => runs.get(id)?.state ?? null,
    cancel: (id) => {
      const run = runs.get(id);
      if (run === undefined) return null;
      run.abort.abort();
      if (run.state.state === 'running') run.state = { ...run.state, state: 'cancelled' };
      return run.state;
    },
    close: async () => {
      for (const { abort } of runs.values()) abort.abort();
      await running;
    },
  };
}
