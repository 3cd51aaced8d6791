import type { AlarmQuery, PageRequest } from '@lineside/storage';
import { type AlarmAnswer, type AnswerAlarm, alarmAnswers } from '../answers/alarm-answer.ts';
import { principalOf } from '../auth/gate.ts';
import { type Principal, sitesToAsk } from '../auth/principal.ts';
import type { ApiDependencies } from '../dependencies.ts';
import {
  type AlarmListQuery,
  alarmListQuery,
  alarmParams,
  alarmSchema,
  noteBody,
  shelveBody,
} from '../schemas/alarm.ts';
import { pageOf } from '../schemas/page.ts';
import { problems } from '../schemas/problem-answers.ts';
import { toStoreSpan } from '../schemas/time-fields.ts';
import { type ActOn, alarmActor } from './alarm-actor.ts';
import { type Api, pageFrom } from './api.ts';
import { findAlarm } from './find-alarm.ts';

const ACTORS = { roles: ['office', 'technician'] } as const;

export function alarmRoutes(app: Api, dependencies: ApiDependencies): void {
  const answer = alarmAnswers(dependencies.fleet);
  app.get(
    '/api/alarms',
    {
      schema: {
        operationId: 'listAlarms',
        summary: 'Alarms, newest raise first',
        tags: ['alarms'],
        querystring: alarmListQuery,
        response: { 200: pageOf(alarmSchema), ...problems(400, 401) },
      },
    },
    async (request) => {
      const filter = filterFrom(principalOf(request), request.query);
      const page = await pageFrom(request.query, (asked) =>
        dependencies.records.alarms({ ...filter, ...asked }),
      );
      return { items: page.items.map(answer), next: page.next };
    },
  );
  readRoute(app, dependencies, answer);
  const actOn = alarmActor(dependencies);
  const act: Acted = async (...asked) => answer(await actOn(...asked));
  notedAction(app, act, 'acknowledge', 'Acknowledge an alarm; twice is no error');
  notedAction(app, act, 'hand-on', 'Let an unacknowledged alarm ask whoever is next');
  unshelveRoute(app, act);
  shelveRoute(app, act);
}

/** Does something to an alarm and answers it as it is then. */
type Acted = (...asked: Parameters<ActOn>) => Promise<AlarmAnswer>;

function readRoute(app: Api, { records }: ApiDependencies, answer: AnswerAlarm): void {
  app.get(
    '/api/alarms/:id',
    {
      schema: {
        operationId: 'readAlarm',
        summary: 'One alarm, withdrawn ones included',
        tags: ['alarms'],
        params: alarmParams,
        response: { 200: alarmSchema, ...problems(401, 404) },
      },
    },
    async (request) => answer(await findAlarm(records, principalOf(request), request.params.id)),
  );
}

type AlarmFilter = Omit<AlarmQuery, keyof PageRequest>;

function filterFrom(principal: Principal, query: AlarmListQuery): AlarmFilter {
  const sites = sitesToAsk(principal, query.site);
  return {
    ...(query.state === undefined ? {} : { state: query.state }),
    ...(sites === undefined ? {} : { sites }),
    ...(query.unit === undefined ? {} : { unit: query.unit }),
    ...(query.kind === undefined ? {} : { kind: query.kind }),
    withdrawn: query.withdrawn,
    ...toStoreSpan(query),
  };
}

const OPERATION_IDS = { acknowledge: 'acknowledgeAlarm', 'hand-on': 'handOnAlarm' } as const;

function notedAction(
  app: Api,
  act: Acted,
  action: keyof typeof OPERATION_IDS,
  summary: string,
): void {
  app.post(
    `/api/alarms/:id/${action}`,
    {
      config: ACTORS,
      schema: {
        operationId: OPERATION_IDS[action],
        summary,
        tags: ['alarms'],
        params: alarmParams,
        body: noteBody,
        response: { 200: alarmSchema, ...problems(400, 401, 403, 404, 409, 413, 415) },
      },
    },
    async (request) => {
      const note = request.body?.note;
      const asked = note === undefined ? { type: action } : { type: action, note };
      return act(request.params.id, asked, principalOf(request));
    },
  );
}

function unshelveRoute(app: Api, act: Acted): void {
  app.post(
    '/api/alarms/:id/unshelve',
    {
      config: ACTORS,
      schema: {
        operationId: 'unshelveAlarm',
        summary: 'Take an alarm off the shelf',
        tags: ['alarms'],
        params: alarmParams,
        response: { 200: alarmSchema, ...problems(400, 401, 403, 404, 409) },
      },
    },
    async (request) => act(request.params.id, { type: 'unshelve' }, principalOf(request)),
  );
}

function shelveRoute(app: Api, act: Acted): void {
  app.post(
    '/api/alarms/:id/shelve',
    {
      config: ACTORS,
      schema: {
        operationId: 'shelveAlarm',
        summary: 'Put an alarm aside until a time, with a reason',
        tags: ['alarms'],
        params: alarmParams,
        body: shelveBody,
        response: { 200: alarmSchema, ...problems(400, 401, 403, 404, 409, 413, 415) },
      },
    },
    async (request) => {
      const { until, reason } = request.body;
      const shelve = { type: 'shelve', untilMs: until, reason } as const;
      return act(request.params.id, shelve, principalOf(request));
    },
  );
}
