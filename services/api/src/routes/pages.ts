import { type Alarm, type AlarmAction, rfc3339 } from '@lineside/alarms';
import type { PageLink } from '@lineside/storage';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { pageChart } from '../answers/page-chart.ts';
import {
  pageAlarm,
  pageAlarmDetail,
  pageSites,
  unitsByKey,
  worstOfPage,
} from '../answers/page-json.ts';
import { unitKey } from '../answers/unit-json.ts';
import type { RequestRate } from '../auth/request-rate.ts';
import type { ApiDependencies } from '../dependencies.ts';
import { ApiError } from '../errors/api-error.ts';
import type { RotaDesk } from '../on-call/rota-desk.ts';
import { pageAnswerer, personOfPage } from '../pages/answer-page.ts';
import { type OpenPage, pageOpener } from '../pages/open-page.ts';
import { PageDevice } from '../pages/page-device.ts';
import {
  ALL_ALARMS,
  type PageJson,
  type PageRefusal,
  type PressBody,
  pageAlarmDetailSchema,
  pageAlarmParams,
  pageChartSchema,
  pageParams,
  pageSchema,
  pageShelveBody,
  pressBody,
  pressWithNote,
} from '../schemas/page-link.ts';
import { problems } from '../schemas/problem-answers.ts';
import type { Api } from './api.ts';

/** More than anybody reads on a phone; the dashboard has them all. */
const LISTED_MOST = 300;
/** The worst ones are told in full at once. */
const TOLD_IN_FULL = 3;

/** What `on my way` leaves in the journal. */
const ON_MY_WAY = 'on my way';

const OPEN = { config: { open: true } } as const;
const SCHEMA = { tags: ['pages'], security: [] };

/**
 * The page behind the link of a message: open to whoever has the link. Reading changes nothing, so
 * that a chat program which looks at the address for a preview does no harm.
 */
export function pageRoutes(
  app: Api,
  dependencies: ApiDependencies,
  { desk, rate }: { readonly desk: RotaDesk; readonly rate: RequestRate },
): void {
  const open = pageOpener(dependencies, rate);
  const device = new PageDevice(dependencies.publicUrl);
  const read = pageReader(dependencies, desk);
  app.get(
    '/api/pages/:link',
    {
      ...OPEN,
      schema: {
        ...SCHEMA,
        operationId: 'readPage',
        summary: 'The alarms of a page, as they are now; reading changes nothing',
        params: pageParams,
        response: { 200: pageSchema, ...problems(400, 404) },
      },
    },
    async (request, reply) => {
      const link = await open(request, request.params.link);
      const hash = device.introduce(request, reply);
      keptNowhere(reply);
      return read(link, buttonsOf(link.deviceHash, hash), []);
    },
  );
  alarmRoute(app, dependencies, open);
  chartRoute(app, dependencies, open);
  pressRoutes(app, pressHandler(dependencies, { open, device, read, desk }));
}

function buttonsOf(bound: string | null, own: string): PageJson['buttons'] {
  if (bound === null) return 'free';
  return bound === own ? 'this-device' : 'another-device';
}

/** Neither caches nor search engines. */
function keptNowhere(reply: Pick<FastifyReply, 'header'>): void {
  reply.header('cache-control', 'no-store');
  reply.header('x-robots-tag', 'noindex, nofollow');
}

type ReadPage = (
  link: PageLink,
  buttons: PageJson['buttons'],
  refused: readonly PageRefusal[],
) => Promise<PageJson>;

function pageReader(dependencies: ApiDependencies, desk: RotaDesk): ReadPage {
  const { records, fleet, pages, clock } = dependencies;
  return async (link, buttons, refused) => {
    const found = await Promise.all(link.alarmIds.map((id) => records.alarm(id)));
    const alarms = worstOfPage(link, found.filter(isKnown));
    const now = fleet();
    const units = unitsByKey(now);
    const inFull = alarms.slice(0, TOLD_IN_FULL);
    const details = inFull.map(async (alarm) => {
      const unit = units.get(unitKey(alarm.site, alarm.unit)) ?? null;
      return pageAlarmDetail(alarm, unit, await records.journalOf(alarm.id));
    });
    return {
      for: await personOfPage(link, desk),
      time: rfc3339(clock()),
      expires: rfc3339(link.expiresAtMs),
      buttons,
      sites: pageSites(alarms, now, (site) => pages.roofDanger(site)),
      alarms: alarms.slice(0, LISTED_MOST).map((alarm) => pageAlarm(alarm, units)),
      more: Math.max(0, alarms.length - LISTED_MOST),
      details: await Promise.all(details),
      refused,
    };
  };
}

const isKnown = (alarm: Alarm | null): alarm is Alarm => alarm !== null;

function alarmRoute(app: Api, { records, fleet }: ApiDependencies, open: OpenPage): void {
  app.get(
    '/api/pages/:link/alarms/:alarm',
    {
      ...OPEN,
      schema: {
        ...SCHEMA,
        operationId: 'readPageAlarm',
        summary: 'One alarm of a page in full',
        params: pageAlarmParams,
        response: { 200: pageAlarmDetailSchema, ...problems(400, 404) },
      },
    },
    async (request, reply) => {
      const link = await open(request, request.params.link);
      const alarm = await alarmOnPage(records, link, request.params.alarm);
      keptNowhere(reply);
      const unit = unitsByKey(fleet()).get(unitKey(alarm.site, alarm.unit)) ?? null;
      return pageAlarmDetail(alarm, unit, await records.journalOf(alarm.id));
    },
  );
}

function chartRoute(app: Api, dependencies: ApiDependencies, open: OpenPage): void {
  const { records, telemetry, fleet, clock } = dependencies;
  app.get(
    '/api/pages/:link/chart/:alarm',
    {
      ...OPEN,
      schema: {
        ...SCHEMA,
        operationId: 'readPageChart',
        summary: 'A week of what an alarm of a page is about, in few points',
        params: pageAlarmParams,
        response: { 200: pageChartSchema, ...problems(400, 404) },
      },
    },
    async (request, reply) => {
      const link = await open(request, request.params.link);
      const alarm = await alarmOnPage(records, link, request.params.alarm);
      keptNowhere(reply);
      const unit = unitsByKey(fleet()).get(unitKey(alarm.site, alarm.unit)) ?? null;
      return pageChart(telemetry, alarm, unit, clock());
    },
  );
}

async function alarmOnPage(
  records: Pick<ApiDependencies['records'], 'alarm'>,
  link: PageLink,
  id: string,
): Promise<Alarm> {
  const alarm = link.alarmIds.includes(id) ? await records.alarm(id) : null;
  if (alarm === null) throw new ApiError('API_NOT_FOUND', 'This alarm is not on this page.');
  return alarm;
}

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

function pressRoutes(app: Api, press: PressHandler): void {
  app.post(
    '/api/pages/:link/on-my-way',
    {
      ...OPEN,
      schema: {
        ...SCHEMA,
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
      ...OPEN,
      schema: {
        ...SCHEMA,
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
      ...OPEN,
      schema: {
        ...SCHEMA,
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
