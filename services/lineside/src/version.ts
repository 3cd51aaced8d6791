import { readFileSync } from 'node:fs';

/** The version in this package's manifest. */
export function version(): string {
  const manifest: unknown = JSON.parse(
    readFileSync(new URL('../package.json', import.meta.url), 'utf8'),
  );
  const found = typeof manifest === 'object' && manifest !== null && 'version' in manifest;
  return found ? String(manifest.version) : 'unknown';
}
