/**
 * Makes the dependencies what package-lock.json says, and does nothing when they are already.
 *
 * Runs on a bare clone, so it uses nothing but Node itself.
 */
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import process from 'node:process';
import { fileURLToPath } from 'node:url';

export const ROOT = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const STAMP = join(ROOT, 'node_modules', '.lineside-installed');
const LOWEST_NODE = [20, 19];

/** Prints one line that says what is wrong and what to do, and ends the program. */
export function giveUp(sentence, status = 2) {
  process.stderr.write(`lineside: ${sentence}\n`);
  process.exit(status);
}

/** Runs a command in the project's root with inherited output; returns its exit status. */
export function run(command, args, options = {}) {
  const result = spawnSync(command, args, { cwd: ROOT, stdio: 'inherit', ...options });
  if (result.error) giveUp(`cannot run '${command}': ${result.error.message}`);
  return result.status ?? 1;
}

function checkNode() {
  const [major = 0, minor = 0] = process.versions.node.split('.').map(Number);
  const [lowestMajor, lowestMinor] = LOWEST_NODE;
  if (major > lowestMajor || (major === lowestMajor && minor >= lowestMinor)) return;
  giveUp(`Node ${LOWEST_NODE.join('.')} or newer is needed, this is ${process.versions.node}`);
}

function checkToolchain() {
  const missing = ['python3', 'make', 'g++'].filter(
    (tool) => spawnSync(tool, ['--version'], { stdio: 'ignore' }).error !== undefined,
  );
  if (missing.length === 0) return;
  giveUp(
    `missing: ${missing.join(', ')} (needed once, to compile the SQLite driver; ` +
      'on Debian: apt-get install python3 make g++)',
  );
}

/** Everything that decides what `npm ci` would lay down here. */
function wanted() {
  const hash = createHash('sha256');
  hash.update(readFileSync(join(ROOT, 'package-lock.json')));
  hash.update(`${process.versions.modules} ${process.platform} ${process.arch}`);
  return hash.digest('hex');
}

/** Installs by the lock file unless that was done already for this lock file and this Node. */
export function install() {
  checkNode();
  const hash = wanted();
  if (existsSync(STAMP) && readFileSync(STAMP, 'utf8') === hash) return;
  checkToolchain();
  process.stderr.write('lineside: installing dependencies (two to three minutes, once)\n');
  // Compile the SQLite driver here rather than fetch somebody's binary.
  const env = { ...process.env, npm_config_build_from_source: 'true' };
  const status = run('npm', ['ci', '--no-audit', '--no-fund', '--loglevel=error'], {
    env,
    stdio: ['ignore', 2, 2],
  });
  if (status !== 0) giveUp(`'npm ci' failed with status ${status}; see its messages above`);
  writeFileSync(STAMP, hash);
}
