import type { FastifyReply } from 'fastify';

/** What the routes of pages have in common: they are open to whoever has the link. */
export const OPEN_PAGE = { config: { open: true } } as const;

export const PAGE_SCHEMA: { tags: string[]; security: [] } = { tags: ['pages'], security: [] };

/** Neither caches nor search engines. */
export function keptNowhere(reply: Pick<FastifyReply, 'header'>): void {
  reply.header('cache-control', 'no-store');
  reply.header('x-robots-tag', 'noindex, nofollow');
}
