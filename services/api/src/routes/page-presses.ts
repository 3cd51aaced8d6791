import type { AlarmAction } from '@lineside/alarms';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { ApiDependencies } from '../dependencies.ts';
import { ApiError } from '../errors/api-error.ts';
import type { RotaDesk } from '../on-call/rota-desk.ts';
import { pageAnswerer } from '../pages/answer-page.ts';
import type { OpenPage } from '../pages/open-page.ts';
import type { PageDevice } from '../pages/page-device.ts';
import { keptNowhere, OPEN_PAGE, PAGE_SCHEMA } from '../pages/page-route.ts';
import { alarmOnPage, type ReadPage } from '../pages/read-page.ts';
import {
  ALL_ALARMS,
  type PageJson,
  type PressBody,
  pageParams,
  pageSchema,
  pageShelveBody,
  pressBody,
  pressWithNote,
} from '../schemas/page-link.ts';
import { problems } from '../schemas/problem-answers.ts';
import type { Api } from './api.ts';

/** What `on my way` leaves in the journal. */
const ON_MY_WAY = 'on my way';

interface PressParts {
  readonly open: OpenPage;
  readonly device: PageDevice;
  readonly read: ReadPage;
  readonly desk: RotaDesk;
}

type PressRequest = FastifyRequest<{ Params: { link: string } }>;
type PressHandler = (
  request: Pick<PressRequest, 'params'> & FastifyRequest,
  reply: Pick<FastifyReply, 'header'>,
  body: PressBody,
  action: AlarmAction,
) => Promise<PageJson>;

const ANSWERED_ELSEWHERE =
  'This page was answered from another device, and its buttons are there. Press them there, sign ' +
  'in to the dashboard, or ask the office.';

function pressHandler(dependencies: ApiDependencies, parts: PressParts): PressHandler {
  const { records, clock } = dependencies;
  const answer = pageAnswerer(dependencies, parts.desk);
  return async (request, reply, body, action) => {
    const link = await parts.open(request, request.params.link);
    keptNowhere(reply);
    const alarmId = body.alarm === ALL_ALARMS ? null : body.alarm;
    if (alarmId !== null) await alarmOnPage(records, link, alarmId);
    const hash = parts.device.introduce(request, reply as FastifyReply);
    const bound = await records.bindPageLink(link.id, hash, clock());
    if (bound !== hash) throw new ApiError('API_CONFLICT', ANSWERED_ELSEWHERE);
    const refused = await answer(link, { action, alarmId });
    return parts.read(link, 'this-device', refused);
  };
}

const PRESS_ANSWERS = { 200: pageSchema, ...problems(400, 403, 404, 409, 413, 415) };

/** The buttons of a page. */
export function pagePressRoutes(app: Api, dependencies: ApiDependencies, parts: PressParts): void {
  const press = pressHandler(dependencies, parts);
  app.post(
    '/api/pages/:link/on-my-way',
    {
      ...OPEN_PAGE,
      schema: {
        ...PAGE_SCHEMA,
        operationId: 'onMyWayFromPage',
        summary: 'Acknowledge, and say in the journal that somebody is on the way',
        params: pageParams,
        body: pressBody,
        response: PRESS_ANSWERS,
      },
    },
    async (request, reply) =>
      press(request, reply, request.body, { type: 'acknowledge', note: ON_MY_WAY }),
  );
  notedRoute(app, press, 'acknowledge', 'Acknowledge an alarm of a page, or all of them');
  notedRoute(app, press, 'hand-on', 'Say `not me`: the next in line is asked at once');
  app.post(
    '/api/pages/:link/shelve',
    {
      ...OPEN_PAGE,
      schema: {
        ...PAGE_SCHEMA,
        operationId: 'shelveFromPage',
        summary: 'Put an alarm of a page aside until a time, with a reason',
        params: pageParams,
        body: pageShelveBody,
        response: PRESS_ANSWERS,
      },
    },
    async (request, reply) => {
      const { until, reason } = request.body;
      return press(request, reply, request.body, { type: 'shelve', untilMs: until, reason });
    },
  );
}

function notedRoute(
  app: Api,
  press: PressHandler,
  type: 'acknowledge' | 'hand-on',
  summary: string,
): void {
  app.post(
    `/api/pages/:link/${type}`,
    {
      ...OPEN_PAGE,
      schema: {
        ...PAGE_SCHEMA,
        operationId: type === 'acknowledge' ? 'acknowledgeFromPage' : 'handOnFromPage',
        summary,
        params: pageParams,
        body: pressWithNote,
        response: PRESS_ANSWERS,
      },
    },
    async (request, reply) => {
      const { note } = request.body;
      return press(request, reply, request.body, note ? { type, note } : { type });
    },
  );
}
