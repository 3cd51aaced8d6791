/** The Docker engine of the tests, from TypeScript; `engine.sh` does the work. */
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import process from 'node:process';

const SCRIPT = join(import.meta.dirname, 'engine.sh');
const NOT_HERE = 3;

export interface Engine {
  /** `DOCKER_HOST` of the engine. */
  readonly address: string;
}

/**
 * Starts the engine unless it runs, and makes the images that are missing (half a minute when
 * there are none). Gives the reason where this machine can have no engine.
 */
export function startEngine(): Engine | { readonly reason: string } {
  const { status, stdout, stderr, error } = script('up');
  if (error !== undefined) return { reason: `no Docker engine: ${error.message}` };
  if (status === 0) return { address: lastLine(stdout) };
  if (status === NOT_HERE) return { reason: lastLine(stdout) };
  throw new Error(`engine.sh up ended with status ${status}: ${stdout}${stderr}`);
}

/** Stops the engine if `startEngine` started it and nobody else uses it. */
export function leaveEngine(): void {
  const { status, stdout, stderr } = script('down');
  if (status === 0 || status === NOT_HERE) return;
  throw new Error(`engine.sh down ended with status ${status}: ${stdout}${stderr}`);
}

/** Makes testcontainers in this process use the engine; before its first use. */
export function useEngine({ address }: Engine): void {
  process.env['DOCKER_HOST'] = address;
  // The sweeper is an image of a registry; `engine.sh` sweeps instead.
  process.env['TESTCONTAINERS_RYUK_DISABLED'] = 'true';
  // Inside a container the library would take the bridge for the way to its ports.
  process.env['TESTCONTAINERS_HOST_OVERRIDE'] = '127.0.0.1';
}

function script(action: 'up' | 'down') {
  return spawnSync('bash', [SCRIPT, action, String(process.pid)], {
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'pipe'],
  });
}

function lastLine(text: string): string {
  return text.trim().split('\n').at(-1) ?? '';
}
