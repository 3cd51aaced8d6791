/** End-to-end tests run the built command, so what they run must be built from what is tested. */
import { execFileSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join } from 'node:path';

const ROOT = join(import.meta.dirname, '..', '..');

export function setup(): void {
  const run = (command: string, args: string[]) =>
    execFileSync(command, args, { cwd: ROOT, stdio: ['ignore', 2, 2] });
  run('npx', ['--no-install', 'tsc', '-b']);
  if (!existsSync(join(ROOT, 'services', 'dashboard', 'dist', 'page.html'))) {
    run('npm', ['run', '--silent', 'build', '--workspace', '@lineside/dashboard']);
  }
}
