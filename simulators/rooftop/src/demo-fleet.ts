import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { applyFleet, type Fleet, parseFleetFile, toFleet } from '@lineside/fleet';

/** Path of the demonstration's fleet file; the same from source and from the build. */
export const DEMO_FLEET_FILE: string = fileURLToPath(
  new URL('../fleets/demo.yaml', import.meta.url),
);

/** The demonstration fleet as the rest of the house sees it. */
export function readDemoFleet(): Fleet {
  const text = readFileSync(DEMO_FLEET_FILE, 'utf8');
  return toFleet(applyFleet(null, parseFleetFile(text, DEMO_FLEET_FILE)));
}
