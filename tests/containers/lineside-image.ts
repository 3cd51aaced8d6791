/** The image of Lineside, built from what is tested, and containers of it. */
import { execFile } from 'node:child_process';
import { join } from 'node:path';
import { promisify } from 'node:util';

export const LINESIDE_IMAGE = 'lineside-test/lineside:latest';

const SCRIPT = join(import.meta.dirname, 'lineside-image.sh');
const LONGEST_BUILD_MS = 230_000;
const LONGEST_COMMAND_MS = 60_000;
const MOST_OUTPUT_BYTES = 64 * 1024 * 1024;

/** Builds it, from the engine's memory where nothing has changed. */
export async function buildLinesideImage(
  image: string,
  options: readonly string[] = [],
): Promise<void> {
  await promisify(execFile)('bash', [SCRIPT, image, ...options], { timeout: LONGEST_BUILD_MS });
}

export interface DockerResult {
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs `docker ARGS` on the engine of the tests; rejects when it ends with another status than 0. */
export function docker(...args: readonly string[]): Promise<DockerResult> {
  return promisify(execFile)('docker', args, {
    timeout: LONGEST_COMMAND_MS,
    maxBuffer: MOST_OUTPUT_BYTES,
  });
}
