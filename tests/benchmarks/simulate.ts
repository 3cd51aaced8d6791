/** The whole pipeline over many seeds: how many runs do not end as if nothing had gone wrong? */
import { type ChildProcess, spawn } from 'node:child_process';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import type { SimulatedLine } from './simulate-process.ts';

const USUAL_SEEDS = 1_000;

/** Reports that are printed in full; the others give their seed only. */
const MOST_REPORTS = 5;

export async function benchSimulate(options: {
  readonly seeds: number | null;
  readonly from: number | null;
}): Promise<void> {
  const from = options.from ?? 1;
  const seeds = options.seeds ?? USUAL_SEEDS;
  const processes = Math.min(availableParallelism(), seeds);
  const startedMs = Date.now();
  const runs: SimulatedLine[] = [];
  const failed: number[] = [];
  const heard = (line: SimulatedLine): void => {
    runs.push(line);
    if (line.report === null) return;
    failed.push(line.seed);
    console.log(failed.length <= MOST_REPORTS ? line.report : `seed ${line.seed} fails`);
  };
  const parts = Array.from({ length: processes }, (_, index) =>
    simulatePart([from + index, seeds - index, processes], heard),
  );
  await Promise.all(parts);
  const seconds = (Date.now() - startedMs) / 1000;
  const sum = (of: (line: SimulatedLine) => number): number =>
    runs.reduce((total, line) => total + of(line), 0);
  console.log(
    `simulate: ${runs.length} seeds from ${from} in ${seconds.toFixed(0)} s on ${processes} ` +
      `processes: ${sum((one) => one.lives)} lives of the service, ` +
      `${sum((one) => one.readings)} readings, ${sum((one) => one.entries)} journal entries; ` +
      (failed.length === 0 ? 'none diverges' : `${failed.length} diverge: ${failed.join(' ')}`),
  );
  if (failed.length > 0 || runs.length < seeds) process.exitCode = 1;
}

async function simulatePart(
  numbers: readonly number[],
  heard: (line: SimulatedLine) => void,
): Promise<void> {
  const entry = join(import.meta.dirname, 'simulate-process.ts');
  const child = spawn(process.execPath, ['--import', 'tsx', entry, ...numbers.map(String)], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const ended = endOf(child);
  for await (const text of createInterface({ input: child.stdout })) {
    const line: SimulatedLine = JSON.parse(text);
    heard(line);
  }
  await ended;
}

function endOf(child: ChildProcess): Promise<void> {
  return new Promise((resolve, reject) => {
    child.once('error', reject);
    child.once('exit', (status) => {
      if (status !== 0) console.error(`a part of the simulation ended with status ${status}`);
      resolve();
    });
  });
}
