import { PRECISION_CONFIDENCE, precisionRows, rfc3339 } from '@lineside/alarms';
import type { AlarmVerdict } from '@lineside/storage';
import { z } from 'zod';
import { labelledCaseJson, verdictJson } from '../answers/verdict-json.ts';
import { principalOf } from '../auth/gate.ts';
import { sitesToAsk } from '../auth/principal.ts';
import type { ApiDependencies, ApiRecords } from '../dependencies.ts';
import { alarmParams } from '../schemas/alarm.ts';
import { PAGE_MOST_ITEMS, pageFields, pageOf } from '../schemas/page.ts';
import { problems } from '../schemas/problem-answers.ts';
import {
  labelledCaseSchema,
  precisionQuery,
  precisionSchema,
  verdictBody,
  verdictSchema,
} from '../schemas/verdict.ts';
import { alarmsWithin, windowOf } from './alarms-within.ts';
import { type Api, pageFrom } from './api.ts';
import { findAlarm } from './find-alarm.ts';

/** A season: verdicts come in slowly. */
const PRECISION_DEFAULT_DAYS = 90;

export function verdictRoutes(app: Api, dependencies: ApiDependencies): void {
  giveRoute(app, dependencies);
  ofAlarmRoute(app, dependencies);
  casesRoute(app, dependencies);
  precisionRoute(app, dependencies);
}

function giveRoute(app: Api, { records, clock }: ApiDependencies): void {
  app.post(
    '/api/alarms/:id/verdict',
    {
      config: { roles: ['office', 'technician'] },
      schema: {
        operationId: 'giveVerdict',
        summary: 'Say whether an alarm was true; replaces what the same person said before',
        tags: ['verdicts'],
        params: alarmParams,
        body: verdictBody,
        response: { 200: verdictSchema, ...problems(400, 401, 403, 404, 413, 415) },
      },
    },
    async (request) => {
      const principal = principalOf(request);
      const { id: alarmId } = await findAlarm(records, principal, request.params.id);
      const { verdict, found, cause = null } = request.body;
      const given: AlarmVerdict = {
        ...{ alarmId, verdict, found, cause },
        by: principal.name,
        atMs: clock(),
      };
      await records.setVerdict(given);
      return verdictJson(given);
    },
  );
}

function ofAlarmRoute(app: Api, { records }: ApiDependencies): void {
  app.get(
    '/api/alarms/:id/verdicts',
    {
      schema: {
        operationId: 'listVerdictsOfAlarm',
        summary: 'What people found of an alarm, newest first, one of each person',
        tags: ['verdicts'],
        params: alarmParams,
        response: { 200: pageOf(verdictSchema), ...problems(401, 404) },
      },
    },
    async (request) => {
      const { id } = await findAlarm(records, principalOf(request), request.params.id);
      return { items: (await records.verdictsOf(id)).map(verdictJson), next: null };
    },
  );
}

function casesRoute(app: Api, { records }: ApiDependencies): void {
  app.get(
    '/api/verdicts',
    {
      config: { roles: ['office'] },
      schema: {
        operationId: 'listLabelledCases',
        summary: 'All verdicts with their alarms, oldest first; for the office only',
        description: 'Items written one a line are the file that a back-test takes.',
        tags: ['verdicts'],
        querystring: z.object(pageFields),
        response: { 200: pageOf(labelledCaseSchema), ...problems(400, 401, 403) },
      },
    },
    async (request) => {
      const page = await pageFrom(request.query, (asked) => records.verdicts(asked));
      const alarms = await Promise.all(page.items.map(({ alarmId }) => records.alarm(alarmId)));
      const items = page.items.flatMap((verdict, at) => {
        const alarm = alarms[at] ?? null;
        return alarm === null ? [] : [labelledCaseJson(verdict, alarm)];
      });
      return { items, next: page.next };
    },
  );
}

function precisionRoute(app: Api, { records, clock }: ApiDependencies): void {
  app.get(
    '/api/precision',
    {
      schema: {
        operationId: 'readPrecision',
        summary: 'How many of the alarms that were raised in a time were true',
        tags: ['verdicts'],
        querystring: precisionQuery,
        response: { 200: precisionSchema, ...problems(400, 401) },
      },
    },
    async (request) => {
      const { by } = request.query;
      const window = windowOf(request.query, clock(), PRECISION_DEFAULT_DAYS);
      const { fromMs, toMs } = window;
      const sites = sitesToAsk(principalOf(request), undefined);
      const alarms = (await alarmsWithin(records, window, sites)).filter(
        ({ raisedAtMs }) => raisedAtMs >= fromMs && raisedAtMs < toMs,
      );
      const items = precisionRows(alarms, await allVerdicts(records), by);
      const confidence = PRECISION_CONFIDENCE;
      return { from: rfc3339(fromMs), to: rfc3339(toMs), by, confidence, items };
    },
  );
}

/** People write them one by one: all of them are few beside the alarms. */
async function allVerdicts(
  records: Pick<ApiRecords, 'verdicts'>,
): Promise<readonly AlarmVerdict[]> {
  const found: AlarmVerdict[] = [];
  let cursor: string | null = null;
  do {
    const page = await records.verdicts({ limit: PAGE_MOST_ITEMS, cursor });
    found.push(...page.items);
    cursor = page.next;
  } while (cursor !== null);
  return found;
}
