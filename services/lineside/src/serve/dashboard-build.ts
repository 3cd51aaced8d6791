import { existsSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import type { Logger } from 'pino';

/** The folder of the dashboard's build; null, with a warning, when it was not built. */
export function dashboardBuild(log: Logger): string | null {
  const manifest = createRequire(import.meta.url).resolve('@lineside/dashboard/package.json');
  const folder = join(dirname(manifest), 'dist');
  if (existsSync(join(folder, 'index.html'))) return folder;
  log.warn({ folder }, "the dashboard is not built, only the API is served; run 'npm run build'");
  return null;
}
