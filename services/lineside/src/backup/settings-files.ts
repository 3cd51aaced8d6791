import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { PLACE_FILE } from '../readings-place.ts';

/** What the stores keep, what holds for one running server only, and what is not finished. */
const NOT_SETTINGS: readonly RegExp[] = [
  /^records\.db(?:-wal|-shm)?$/,
  /\.lock(?:-journal|-wal|-shm)?$/,
  /^bystander\.json/,
  new RegExp(`^${PLACE_FILE}$`),
  /\.part$/,
];

const FOLDERS_OF_STORES: ReadonlySet<string> = new Set(['telemetry', 'restore.part']);

/** Names of the files in a data folder that belong to no store, at any depth, in order. */
export function settingsFiles(dataFolder: string, below = ''): string[] {
  const names: string[] = [];
  for (const entry of readdirSync(join(dataFolder, below), { withFileTypes: true })) {
    const name = below === '' ? entry.name : `${below}/${entry.name}`;
    if (entry.isDirectory()) {
      if (!FOLDERS_OF_STORES.has(name)) names.push(...settingsFiles(dataFolder, name));
    } else if (entry.isFile() && !NOT_SETTINGS.some((pattern) => pattern.test(entry.name))) {
      names.push(name);
    }
  }
  return names.sort();
}
