/**
 * `node prebuilt-context.mjs | docker build --build-arg APP=prebuilt …` where this tree is installed
 * and built: the context of that build as a tar archive, on standard output. It holds what
 * `lay-out.mjs` chooses from, so that nothing is installed or compiled in the build.
 */
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import process from 'node:process';
import { fileURLToPath } from 'node:url';
import { closure } from './production-packages.mjs';

const ROOT = join(dirname(fileURLToPath(import.meta.url)), '..', '..', '..');

/** Large, and never chosen. */
const EXCLUDED = ['*.d.ts', '*.map', 'better-sqlite3/deps', 'better-sqlite3/build/Release/obj*'];

const paths = ['Dockerfile', 'package.json', 'services/lineside/container'];
for (const { folder, name, isOurs } of closure(ROOT, '@lineside/lineside')) {
  const at = relative(ROOT, folder);
  if (!isOurs) paths.push(at);
  else {
    const built = ['package.json', 'dist', 'bin'].map((part) => join(at, part));
    paths.push(...built.filter((path) => existsSync(join(ROOT, path))), `node_modules/${name}`);
  }
}
paths.sort();
const outermost = paths.filter((path) => !paths.some((other) => path.startsWith(`${other}/`)));
const options = EXCLUDED.map((pattern) => `--exclude=${pattern}`);
const { status, error } = spawnSync('tar', ['-c', '-C', ROOT, ...options, ...outermost], {
  stdio: ['ignore', 'inherit', 'inherit'],
});
if (error) throw error;
process.exitCode = status ?? 1;
