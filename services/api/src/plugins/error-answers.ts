import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { notFound } from '../errors/api-error.ts';
import { sendProblem } from '../errors/send-problem.ts';
import { toApiError } from '../errors/to-api-error.ts';

/** Every error leaves as problem details, those of unknown addresses too. */
export function addErrorAnswers(app: FastifyInstance, hasPage: () => boolean): void {
  app.setErrorHandler((error, request, reply) => answerError(error, request, reply));
  app.setNotFoundHandler((request, reply) => {
    if (hasPage() && wantsPage(request)) {
      return reply.type('text/html; charset=utf-8').sendFile('index.html');
    }
    return sendProblem(reply, notFound('This address'));
  });
}

/** Answers one error and notes in the log what the caller is not told. */
export function answerError(
  error: unknown,
  request: FastifyRequest,
  reply: FastifyReply,
): FastifyReply {
  const failure = toApiError(error);
  if (failure.code === 'API_INTERNAL' || failure.code === 'API_STORE_UNAVAILABLE') {
    // The template, not the address: addresses may hold a secret.
    const { method, routeOptions, ip: client } = request;
    const where = { method, route: routeOptions.url, client };
    request.log.error({ err: error, ...where }, 'request failed');
  }
  return sendProblem(reply, failure);
}

function wantsPage(request: FastifyRequest): boolean {
  const isRead = request.method === 'GET' || request.method === 'HEAD';
  const isApi = /^\/(api|metrics)(\/|\?|$)/.test(request.url);
  return isRead && !isApi && /\btext\/html\b/.test(request.headers.accept ?? '');
}
