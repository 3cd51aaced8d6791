import type { IncomingMessage, ServerResponse } from 'node:http';
import { type PageRequest, StoreError } from '@lineside/storage';
import type { FastifyBaseLogger, FastifyInstance, RawServerDefault } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { badRequest } from '../errors/api-error.ts';
import type { PageQuery } from '../schemas/page.ts';

/** An instance whose schemas are zod's. */
export type Api = FastifyInstance<
  RawServerDefault,
  IncomingMessage,
  ServerResponse,
  FastifyBaseLogger,
  ZodTypeProvider
>;

/**
 * Asks a store for the page that a query names; a cursor that the store did not hand out is the
 * caller's mistake.
 */
export async function pageFrom<T>(query: PageQuery, ask: AskForPage<T>): Promise<T> {
  const { limit, cursor = null } = query;
  try {
    return await ask({ limit, cursor });
  } catch (error) {
    if (cursor !== null && error instanceof StoreError && error.code === 'STORE_BAD_INPUT') {
      throw badRequest('cursor', CURSOR_RULE);
    }
    throw error;
  }
}

type AskForPage<T> = (page: PageRequest) => Promise<T>;

export const CURSOR_RULE = 'must be the next of an earlier answer to the same question';
