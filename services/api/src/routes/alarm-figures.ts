import { type AlarmFigures, figureRows, figuresCsv, rfc3339 } from '@lineside/alarms';
import type { FastifyReply } from 'fastify';
import { z } from 'zod';
import { figuresOver } from '../answers/alarm-figures.ts';
import { principalOf } from '../auth/gate.ts';
import { OneAtATime } from '../auth/one-at-a-time.ts';
import { sitesToAsk } from '../auth/principal.ts';
import type { ApiDependencies } from '../dependencies.ts';
import { figuresQuery, figuresSchema } from '../schemas/alarm-figures.ts';
import { problems } from '../schemas/problem-answers.ts';
import { type Window, windowOf } from './alarms-within.ts';
import type { Api } from './api.ts';

/** A month, as the published targets are looked at. */
const DEFAULT_DAYS = 30;

type FiguresAsked = readonly [Window, readonly string[] | undefined];

export function alarmFigureRoutes(app: Api, dependencies: ApiDependencies): void {
  const { clock } = dependencies;
  // A year of a large fleet is much to read: who asks twice waits, and everybody else does not.
  const oneAtATime = new OneAtATime();
  const figuresOf = (...asked: FiguresAsked): Promise<readonly AlarmFigures[]> =>
    oneAtATime.run('figures', () => figuresOver(dependencies, ...asked));
  app.get(
    '/api/alarm-figures',
    {
      schema: {
        operationId: 'readAlarmFigures',
        summary: 'Figures of the alarm system after ISA-18.2, EEMUA 191 and IEC 62682',
        description: 'Of the sites of the caller: all together, each team on call, each site.',
        tags: ['figures'],
        querystring: figuresQuery,
        response: { 200: figuresSchema, ...problems(400, 401) },
      },
    },
    async (request) => {
      const window = windowOf(request.query, clock(), DEFAULT_DAYS);
      const sites = sitesToAsk(principalOf(request), undefined);
      const figures = await figuresOf(window, sites);
      const span = { from: rfc3339(window.fromMs), to: rfc3339(window.toMs) };
      return { ...span, items: figureRows(figures) };
    },
  );
  app.get(
    '/api/alarm-figures.csv',
    {
      schema: {
        operationId: 'readAlarmFiguresCsv',
        summary: 'The same as CSV (RFC 4180)',
        tags: ['figures'],
        querystring: figuresQuery,
        response: {
          200: { description: 'A header line and rows.', content: { 'text/csv': CSV } },
          ...problems(400, 401),
        },
      },
    },
    async (request, reply) => {
      const window = windowOf(request.query, clock(), DEFAULT_DAYS);
      const sites = sitesToAsk(principalOf(request), undefined);
      const figures = await figuresOf(window, sites);
      (reply as FastifyReply)
        .type('text/csv; charset=utf-8; header=present')
        .header('content-disposition', 'attachment; filename="alarm-figures.csv"');
      return reply.serializer(asItIs).send(figuresCsv(figures));
    },
  );
}

const CSV = { schema: z.string() } as const;
const asItIs = (text: string): string => text;
