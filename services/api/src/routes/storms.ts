import { stormCsv } from '@lineside/review';
import type { FastifyReply } from 'fastify';
import { z } from 'zod';
import { type SitesById, stormJson, stormReviewJson } from '../answers/storm-json.ts';
import { sitesById } from '../answers/unit-json.ts';
import { principalOf } from '../auth/gate.ts';
import type { ApiDependencies } from '../dependencies.ts';
import { pageOf } from '../schemas/page.ts';
import { problems } from '../schemas/problem-answers.ts';
import { stormListQuery, stormParams, stormReviewSchema, stormSchema } from '../schemas/storm.ts';
import { readStorm } from '../storms/read-storm.ts';
import { listStorms } from '../storms/storm-list.ts';
import type { Api } from './api.ts';

export function stormRoutes(app: Api, dependencies: ApiDependencies): void {
  const sites = (): SitesById => sitesById(dependencies.fleet());
  app.get(
    '/api/storms',
    {
      schema: {
        operationId: 'listStorms',
        summary: 'Storms, newest start first',
        description:
          'Found in wettings, alarms of moisture and leakage, and weather, in the sites of the ' +
          'caller. A storm touched several units beyond their habit, or came with storm weather.',
        tags: ['storms'],
        querystring: stormListQuery,
        response: { 200: pageOf(stormSchema), ...problems(400, 401) },
      },
    },
    async (request) => {
      const page = await listStorms(dependencies, principalOf(request), request.query);
      const known = sites();
      return { items: page.storms.map((storm) => stormJson(storm, known)), next: page.next };
    },
  );
  csvRoute(app, dependencies);
  app.get(
    '/api/storms/:id',
    {
      schema: {
        operationId: 'readStorm',
        summary: 'One storm: what happened, units in order of harm, what to visit with which parts',
        tags: ['storms'],
        params: stormParams,
        response: { 200: stormReviewSchema, ...problems(401, 404) },
      },
    },
    async (request, reply) => {
      const review = await readStorm(dependencies, principalOf(request), request.params.id);
      // A megabyte for a large fleet: writing it by its schema would hold up everything else.
      const body = JSON.stringify(stormReviewJson(review, sites()));
      return (reply as FastifyReply).type('application/json; charset=utf-8').send(body);
    },
  );
}

const CSV_TYPE = 'text/csv; charset=utf-8; header=present';

function csvRoute(app: Api, dependencies: ApiDependencies): void {
  app.get(
    '/api/storms/:id.csv',
    {
      schema: {
        operationId: 'readStormUnits',
        summary: "A storm's units in order of harm, as CSV (RFC 4180)",
        tags: ['storms'],
        params: stormParams,
        response: {
          200: {
            description: 'A line of column names, then a line a unit.',
            content: { 'text/csv': { schema: z.string() } },
          },
          ...problems(401, 404),
        },
      },
    },
    async (request, reply) => {
      const review = await readStorm(dependencies, principalOf(request), request.params.id);
      const file = `storm-${review.storm.id.replaceAll(/[^A-Za-z0-9._-]/g, '_')}.csv`;
      return (reply as FastifyReply)
        .header('content-disposition', `attachment; filename="${file}"`)
        .type(CSV_TYPE)
        .send(stormCsv(review));
    },
  );
}
