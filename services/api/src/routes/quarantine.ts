import { rfc3339 } from '@lineside/alarms';
import { z } from 'zod';
import type { ApiDependencies } from '../dependencies.ts';
import { pageFields, pageOf } from '../schemas/page.ts';
import { problems } from '../schemas/problem-answers.ts';
import { quarantineSchema } from '../schemas/quarantine.ts';
import { type Api, pageFrom } from './api.ts';

export function quarantineRoutes(app: Api, { records }: ApiDependencies): void {
  app.get(
    '/api/quarantine',
    {
      config: { roles: ['office'] },
      schema: {
        operationId: 'listQuarantine',
        summary: 'Messages that were refused, newest first; for the office only',
        tags: ['quarantine'],
        querystring: z.object(pageFields),
        response: { 200: pageOf(quarantineSchema), ...problems(400, 401, 403) },
      },
    },
    async (request) => {
      const page = await pageFrom(request.query, (asked) => records.quarantined(asked));
      const items = page.items.map((entry) => ({
        time: rfc3339(entry.atMs),
        topic: entry.topic,
        code: entry.code,
        reason: entry.reason,
        payload: Buffer.from(entry.payload).toString('base64'),
      }));
      return { items, next: page.next };
    },
  );
}
