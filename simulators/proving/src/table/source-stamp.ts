import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const ROOT: string = fileURLToPath(new URL('../../../../', import.meta.url));

/** What the world and what judges it are made of; their figures hold for these sources alone. */
export const STAMPED = {
  world: ['simulators/rooftop/src'],
  detectors: ['packages/physics/src', 'packages/anomaly/src', 'packages/judging/src'],
  proof: ['simulators/proving/src', 'simulators/proving/tuned/rivals.json'],
} as const;

/** First twelve digits of a hash over the text of all these files, in the order of their names. */
export function sourceStamp(paths: readonly string[]): string {
  const hash = createHash('sha256');
  for (const path of paths) {
    const whole = join(ROOT, path);
    for (const name of filesOf(whole)) hash.update(name).update(readFileSync(join(whole, name)));
  }
  return hash.digest('hex').slice(0, 12);
}

function filesOf(path: string): string[] {
  if (path.endsWith('.json')) return [''];
  return readdirSync(path, { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.m?ts$/.test(name))
    .sort();
}
