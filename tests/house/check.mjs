/**
 * `npm run check`: everything that proves the project, from a bare clone.
 *
 * Ends with `N passed, N failed, N skipped`. What this machine cannot run is named as skipped; with
 * CI=true nothing may be skipped.
 */
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, relative } from 'node:path';
import process from 'node:process';
import { install, ROOT, run } from './install.mjs';

const inCi = process.env.CI === 'true';

const STEPS = [
  ['types and build', 'npx', ['--no-install', 'tsc', '-b']],
  ['dashboard build', 'npm', ['run', '--silent', 'build', '--workspace', '@lineside/dashboard']],
  ['format and lint', 'npx', ['--no-install', 'biome', 'ci', '--error-on-warnings', '.']],
  ['dead code', 'npx', ['--no-install', 'knip', '--no-progress']],
];

function runSteps() {
  const failed = [];
  for (const [title, command, args] of STEPS) {
    process.stdout.write(`\n== ${title}\n`);
    if (run(command, args) !== 0) failed.push(title);
    // Later steps only repeat the news when the code does not compile.
    if (failed.includes('types and build')) break;
  }
  return failed;
}

function runTests(folder) {
  process.stdout.write('\n== tests\n');
  const report = join(folder, 'report.json');
  const args = ['--no-install', 'vitest', 'run', '--reporter=default', '--reporter=json'];
  const status = run('npx', [...args, `--outputFile.json=${report}`]);
  if (!existsSync(report)) return { status, tests: [], files: [] };
  const { testResults } = JSON.parse(readFileSync(report, 'utf8'));
  const tests = testResults.flatMap((file) =>
    file.assertionResults.map((test) => ({ ...test, file: relative(ROOT, file.name) })),
  );
  return { status, tests, files: testResults };
}

function summarise({ status, tests, files }, failedSteps) {
  const passed = tests.filter((test) => test.status === 'passed');
  const failed = tests.filter((test) => test.status === 'failed');
  const skipped = tests.filter((test) => !['passed', 'failed'].includes(test.status));
  for (const test of skipped) process.stdout.write(`skipped: ${test.file}: ${test.fullName}\n`);
  for (const title of failedSteps) process.stdout.write(`failed: ${title}\n`);
  const brokenFiles = files.filter(
    (file) => file.status === 'failed' && file.assertionResults.length === 0,
  );
  for (const file of brokenFiles) {
    process.stdout.write(`failed: ${relative(ROOT, file.name)} did not load\n`);
  }
  const notAllowed = inCi ? skipped.length : 0;
  if (notAllowed > 0) process.stdout.write('failed: CI expects every test to run\n');
  let failures = failed.length + brokenFiles.length + failedSteps.length + notAllowed;
  // An error outside of any test, or no test at all, must not look like success.
  if (failures === 0 && (status !== 0 || passed.length === 0)) failures = 1;
  process.stdout.write(
    `${passed.length} passed, ${failures} failed, ${skipped.length - notAllowed} skipped\n`,
  );
  return failures === 0 ? 0 : 1;
}

install();
const folder = mkdtempSync(join(tmpdir(), 'lineside-check-'));
const failedSteps = runSteps();
const report = failedSteps.includes('types and build')
  ? { status: 0, tests: [], files: [] }
  : runTests(folder);
rmSync(folder, { recursive: true, force: true });
process.exitCode = summarise(report, failedSteps);
