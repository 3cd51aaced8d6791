import { z } from 'zod';
import { problems } from '../schemas/problem-answers.ts';
import type { Api } from './api.ts';

export function openApiRoute(app: Api): void {
  app.get(
    '/api/openapi.json',
    {
      schema: {
        operationId: 'readOpenApi',
        summary: 'This document, OpenAPI 3.1',
        tags: ['health'],
        response: { 200: z.looseObject({ openapi: z.string() }), ...problems(401) },
      },
    },
    async () => ({ ...app.swagger() }) as { openapi: string },
  );
}
