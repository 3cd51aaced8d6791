/** How early and how rightly faults of simulated fleets are told of, beside general methods. */
import { writeFileSync } from 'node:fs';
import { stdout } from 'node:process';
import {
  judgeFixedSet,
  proveWarning,
  RECORDED_FILE,
  studyWarning,
  TUNED_FILE,
  tune,
} from '@lineside/proving';
import type { BenchOptions } from './bench-options.ts';

/** About ten minutes on two cores. */
const REPORTED = { cases: 8, weeks: 8, seed: 0 };
const TUNED = { cases: 2, weeks: 6 };

/** `npm run bench -- warning [--cases N] [--weeks N] [--seed N]` */
export async function benchWarning({ cases, weeks, seed }: BenchOptions): Promise<void> {
  const options = {
    cases: cases ?? REPORTED.cases,
    weeks: weeks ?? REPORTED.weeks,
    seed: seed ?? REPORTED.seed,
  };
  const startMs = performance.now();
  const table = await proveWarning(options, showProgress);
  const seconds = ((performance.now() - startMs) / 1000).toFixed(0);
  console.log(`\n${options.cases} cases a cohort, ${options.weeks} weeks each, ${seconds} s\n`);
  console.log(table);
}

/** `npm run bench -- study [--cohort WORDS] [--cases N] [--weeks N] [--seed N]`: us alone. */
export async function studyDetectors(options: BenchOptions): Promise<void> {
  const { cases, weeks, seed, cohort } = options;
  const asked = {
    cohort,
    cases: cases ?? REPORTED.cases,
    weeks: weeks ?? REPORTED.weeks,
    seed: seed ?? REPORTED.seed,
  };
  console.log(await studyWarning(asked, showProgress));
}

/** `npm run bench -- tune`: chooses the rivals' parameters and writes them down. */
export async function tuneRivals({ cases, weeks }: BenchOptions): Promise<void> {
  const options = { cases: cases ?? TUNED.cases, weeks: weeks ?? TUNED.weeks };
  const tuned = await tune(options, showProgress);
  writeFileSync(TUNED_FILE, `${JSON.stringify(tuned, null, 2)}\n`);
  console.log(`\n${JSON.stringify(tuned, null, 2)}`);
}

/** `npm run bench -- record-warning`: records what the regression holds us to. */
export async function recordWarning(): Promise<void> {
  const figures = judgeFixedSet();
  writeFileSync(RECORDED_FILE, `${JSON.stringify(figures, null, 2)}\n`);
  console.log(JSON.stringify(figures, null, 2));
}

function showProgress(done: number, of: number): void {
  if (stdout.isTTY) stdout.write(`\r${done} of ${of} cases `);
  else if (done === of || done % 25 === 0) stdout.write(`${done} of ${of} cases\n`);
}
