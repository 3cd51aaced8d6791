import { existsSync } from 'node:fs';
import { join } from 'node:path';
import fastifyStatic from '@fastify/static';
import type { FastifyInstance } from 'fastify';

/** Files with a hash of their content in their name never change. */
const HASHED_FOLDER = '/assets/';
const FOR_EVER = 'public, max-age=31536000, immutable';
/** Everything else is asked for anew each time, cheaply by its ETag. */
const ASK_AGAIN = 'no-cache';

/** What opens behind the link of a message; the link itself is read by the page, not here. */
const LINK_PAGE = 'page.html';
const LINK_ADDRESS = '/p/:link';
const NOT_KEPT = 'no-store';

/**
 * Serves the files that the folder has now, `index.html` for `/` and `page.html` for links. What it
 * does not have goes to the handler for unknown addresses. Returns whether there is a page.
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
      void reply.header('cache-control', keptFor(path.replaceAll('\\', '/')));
    },
  });
  if (existsSync(join(folder, LINK_PAGE))) addLinkPage(app);
  return true;
}

function keptFor(path: string): string {
  if (path.endsWith(`/${LINK_PAGE}`)) return NOT_KEPT;
  return path.includes(HASHED_FOLDER) ? FOR_EVER : ASK_AGAIN;
}

/** The same file for every link, so that nobody learns here which ones there are. */
function addLinkPage(app: FastifyInstance): void {
  // A file like the others: the document of the API is the same with and without a dashboard.
  app.get(LINK_ADDRESS, { schema: { hide: true } }, (_request, reply) =>
    reply.header('x-robots-tag', 'noindex, nofollow').sendFile(LINK_PAGE),
  );
}
