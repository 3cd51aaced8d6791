import type { FastifyRequest } from 'fastify';
import { ApiError } from '../errors/api-error.ts';
import type { Principal } from './principal.ts';
import { sameText } from './secrets.ts';

const SAFE_METHODS: ReadonlySet<string> = new Set(['GET', 'HEAD', 'OPTIONS']);

export const CSRF_HEADER = 'x-csrf-token';

/**
 * Refuses with 403 what another page makes a browser send. A browser names the page in `Origin`;
 * ours is that of `publicUrl`, or the host that the request itself was sent to (the same server
 * by another of its names).
 */
export function checkOrigin(request: FastifyRequest, publicUrl: string): void {
  const { origin, host, authorization } = request.headers;
  if (SAFE_METHODS.has(request.method) || authorization !== undefined) return;
  if (origin === undefined || origin === new URL(publicUrl).origin) return;
  if (host !== undefined && (origin === `http://${host}` || origin === `https://${host}`)) return;
  throw new ApiError('API_FOREIGN_ORIGIN', `${origin} is not the address of this page.`);
}

/** Refuses with 403 what changes something in a session without that session's token. */
export function checkCsrfToken(request: FastifyRequest, principal: Principal): void {
  if (principal.session === null || SAFE_METHODS.has(request.method)) return;
  const sent = request.headers[CSRF_HEADER];
  if (typeof sent === 'string' && sameText(sent, principal.session.csrfToken)) return;
  throw new ApiError('API_FOREIGN_ORIGIN', `Send the session's token in ${CSRF_HEADER}.`);
}
