import type { ApiDependencies, PartHealth } from '../dependencies.ts';
import { healthSchema } from '../schemas/health.ts';
import { problems } from '../schemas/problem-answers.ts';
import type { Api } from './api.ts';

/** Ascending. */
const STATES = ['ok', 'degraded', 'down'] as const;

export function healthRoutes(app: Api, { health }: ApiDependencies): void {
  app.get(
    '/api/health',
    {
      config: { open: true },
      schema: {
        operationId: 'readHealth',
        summary: 'State of services, broker and stores, and readings that wait to be judged',
        description: 'Always 200 while the process answers; look at `state`.',
        tags: ['health'],
        security: [],
        response: { 200: healthSchema, ...problems() },
      },
    },
    async (_request, reply) => {
      reply.header('cache-control', 'no-store');
      const { pending, ...parts } = await health();
      return { state: worstOf(Object.values(parts)), ...parts, pending };
    },
  );
}

function worstOf(parts: readonly PartHealth[]): PartHealth['state'] {
  return STATES[Math.max(...parts.map((part) => STATES.indexOf(part.state)))] ?? 'down';
}
