import type { FastifyInstance } from 'fastify';

/**
 * Connections whose answer was under way when the end began are closed after it. Without this they
 * would be kept for the caller's next request, and the end would wait for over a minute.
 */
export function closeAfterLastAnswers(app: FastifyInstance): void {
  let isEnding = false;
  app.addHook('preClose', async () => {
    isEnding = true;
  });
  app.addHook('onSend', async (_request, reply) => {
    if (isEnding) reply.header('connection', 'close');
  });
}
