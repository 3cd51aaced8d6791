import type { PageLink } from '@lineside/storage';
import type { FastifyRequest } from 'fastify';
import type { RequestRate } from '../auth/request-rate.ts';
import type { ApiDependencies } from '../dependencies.ts';
import { ApiError } from '../errors/api-error.ts';

/** The page that a request's address names. */
export type OpenPage = (request: FastifyRequest, signed: string) => Promise<PageLink>;

/**
 * Finds the page of an address. Rejects with the same 404 for a signature that is not ours, a link
 * that nobody knows and one that is over: whoever tries addresses learns nothing, and a link that
 * is over is soon forgotten and would be unknown all the same. Too many of those from one network
 * address are answered with 429.
 */
export function pageOpener(
  { pages, records, clock }: Pick<ApiDependencies, 'pages' | 'records' | 'clock'>,
  rate: RequestRate,
): OpenPage {
  return async (request, signed) => {
    const id = pages.readLink(signed);
    const link = id === null ? null : await records.pageLink(id);
    if (link !== null && link.expiresAtMs > clock()) return link;
    rate.refused(request.ip);
    throw new ApiError('API_NOT_FOUND', 'This page is over, or its address is not whole.');
  };
}
