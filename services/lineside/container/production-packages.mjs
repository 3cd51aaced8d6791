/** Which packages a command needs when it runs, as npm has laid them down. */
import { existsSync, readFileSync, realpathSync } from 'node:fs';
import { dirname, join } from 'node:path';

/** Their build holds what they depend on. */
const BUNDLED = new Set(['@lineside/dashboard']);

/** Used while npm installs, never afterwards. */
const FOR_INSTALLING = new Set(['prebuild-install']);

/**
 * The package `name` with everything it depends on, each with its folder, where npm put it below
 * `root`. Packages that are optional and not there are left out; any other that is missing throws.
 */
export function closure(root, name) {
  const found = new Map();
  const waiting = [folderOf(root, root, name)];
  while (waiting.length > 0) {
    const folder = waiting.pop();
    if (found.has(folder)) continue;
    const manifest = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
    const isOurs = !folder.includes('node_modules');
    found.set(folder, { folder, name: manifest.name, isOurs });
    if (!BUNDLED.has(manifest.name)) waiting.push(...needs(root, folder, manifest));
  }
  return [...found.values()];
}

function needs(root, folder, { dependencies, optionalDependencies, ...manifest }) {
  const { peerDependencies, peerDependenciesMeta } = manifest;
  const optional = new Set(Object.keys(optionalDependencies ?? {}));
  for (const [name, { optional: may }] of Object.entries(peerDependenciesMeta ?? {})) {
    if (may) optional.add(name);
  }
  const names = Object.keys({ ...peerDependencies, ...dependencies, ...optionalDependencies });
  return names
    .filter((name) => !FOR_INSTALLING.has(name))
    .flatMap((name) => {
      const at = folderOf(root, folder, name);
      if (at !== null) return [at];
      if (optional.has(name)) return [];
      throw new Error(`${folder} needs ${name}, which is not installed; run npm ci`);
    });
}

/** As Node resolves it: the nearest node_modules upwards, not above `root`. */
function folderOf(root, from, name) {
  for (let folder = from; ; folder = dirname(folder)) {
    const candidate = join(folder, 'node_modules', name);
    if (existsSync(join(candidate, 'package.json'))) return realpathSync(candidate);
    if (folder === root) return null;
  }
}
