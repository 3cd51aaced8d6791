import { existsSync } from 'node:fs';
import { join } from 'node:path';
import fastifyStatic from '@fastify/static';
import type { FastifyInstance } from 'fastify';

/** Files with a hash of their content in their name never change. */
const HASHED_FOLDER = '/assets/';
const FOR_EVER = 'public, max-age=31536000, immutable';
/** Everything else is asked for anew each time, cheaply by its ETag. */
const ASK_AGAIN = 'no-cache';

/**
 * Serves the files that the folder has now, and `index.html` for `/`. What it does not have goes
 * to the handler for unknown addresses. Returns whether there is a page.
 */
export async function addDashboardFiles(
  app: FastifyInstance,
  folder: string | null,
): Promise<boolean> {
  if (folder === null) return false;
  if (!existsSync(join(folder, 'index.html'))) {
    app.log.warn({ folder }, 'no index.html in the folder of the dashboard; it is not served');
    return false;
  }
  await app.register(fastifyStatic, {
    root: folder,
    wildcard: false,
    cacheControl: false,
    setHeaders: (reply, path) => {
      const hashed = path.replaceAll('\\', '/').includes(HASHED_FOLDER);
      void reply.header('cache-control', hashed ? FOR_EVER : ASK_AGAIN);
    },
  });
  return true;
}
