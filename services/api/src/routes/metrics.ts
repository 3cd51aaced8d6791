import { z } from 'zod';
import type { ApiDependencies } from '../dependencies.ts';
import { problems } from '../schemas/problem-answers.ts';
import type { Api } from './api.ts';

export function metricsRoutes(app: Api, { metrics }: ApiDependencies): void {
  app.get(
    '/metrics',
    {
      schema: {
        operationId: 'readMetrics',
        summary: 'Figures of the server in the Prometheus text format',
        tags: ['health'],
        response: {
          200: {
            description: 'Metrics.',
            content: { 'text/plain': { schema: z.string() } },
          },
          ...problems(401),
        },
      },
    },
    async (_request, reply) => {
      reply.header('cache-control', 'no-store').type(metrics.contentType);
      return reply.serializer(asItIs).send(await metrics.metrics());
    },
  );
}

const asItIs = (text: string): string => text;
