/** How early and how rightly faults of simulated fleets are told of, beside general methods. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { stderr, stdout } from 'node:process';
import {
  calibrate,
  FITTED_FILE,
  fittedSource,
  judgeFixedSet,
  PICTURES_FOLDER,
  proveGoals,
  proveWarning,
  RECORDED_FILE,
  REPORT_FILE,
  studyWarning,
  TUNED_FILE,
  tune,
  worldPictures,
  writePictures,
} from '@lineside/proving';
import type { BenchOptions } from './bench-options.ts';

/** A class has so many cases, and healthy unit-years are one and a half times as many. */
const PROVED = { cases: 200, seed: 0 };
/** About ten minutes on two cores. */
const REPORTED = { cases: 8, weeks: 8, seed: 0 };
const TUNED = { cases: 2, weeks: 6 };
const CALIBRATED = { cases: 3, weeks: 8, blocks: 1 };

/** `npm run bench -- warning [--cases N] [--seed N]`: the goals; writes the report. */
export async function benchWarning({ cases, seed }: BenchOptions): Promise<void> {
  const asked = { cases: cases ?? PROVED.cases, seed: seed ?? PROVED.seed };
  const command = `npm run bench -- warning --cases ${asked.cases} --seed ${asked.seed}`;
  const day = new Date().toISOString().slice(0, 10);
  const report = await proveGoals({ ...asked, command, day }, timedProgress());
  mkdirSync(new URL('.', REPORT_FILE), { recursive: true });
  writeFileSync(REPORT_FILE, report);
  console.log(report);
}

/** `npm run bench -- rivals [--cases N] [--weeks N] [--seed N]`: us and the tuned rivals, in full. */
export async function benchRivals({ cases, weeks, seed }: BenchOptions): Promise<void> {
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

/** `npm run bench -- pictures`: draws the method's pictures from the simulated world. */
export async function drawPictures(): Promise<void> {
  console.log(writePictures(worldPictures(), PICTURES_FOLDER).join('\n'));
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

/** `npm run bench -- calibrate`: fits the factors of the evidence table and writes them down. */
export async function calibrateCauses({ cases, weeks, seeds }: BenchOptions): Promise<void> {
  const options = {
    cases: cases ?? CALIBRATED.cases,
    weeks: weeks ?? CALIBRATED.weeks,
    blocks: seeds ?? CALIBRATED.blocks,
  };
  const source = fittedSource(await calibrate(options, showProgress));
  writeFileSync(FITTED_FILE, source);
  console.log(source);
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

/** Says at times what is done, and how long the rest will take at this pace. */
function timedProgress(): (done: number, of: number, unitWeeks: number) => void {
  const startMs = performance.now();
  let first: number | null = null;
  return (done, of, unitWeeks) => {
    first ??= done - 1;
    if (done !== of && done % 25 !== 0) return;
    const seconds = (performance.now() - startMs) / 1000;
    const left = (seconds * (of - done)) / (done - first);
    const weeks = unitWeeks.toFixed(0);
    stderr.write(
      `${done} of ${of} cases (${weeks} unit-weeks in all), ${seconds.toFixed(0)} s, ` +
        `about ${left.toFixed(0)} s left\n`,
    );
  };
}
