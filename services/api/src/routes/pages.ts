import { pageChart } from '../answers/page-chart.ts';
import { pageAlarmDetail, unitsByKey } from '../answers/page-json.ts';
import { unitKey } from '../answers/unit-json.ts';
import type { RequestRate } from '../auth/request-rate.ts';
import type { ApiDependencies } from '../dependencies.ts';
import type { RotaDesk } from '../on-call/rota-desk.ts';
import { type OpenPage, pageOpener } from '../pages/open-page.ts';
import { PageDevice } from '../pages/page-device.ts';
import { keptNowhere, OPEN_PAGE, PAGE_SCHEMA } from '../pages/page-route.ts';
import { alarmOnPage, pageReader } from '../pages/read-page.ts';
import {
  type PageJson,
  pageAlarmDetailSchema,
  pageAlarmParams,
  pageChartSchema,
  pageParams,
  pageSchema,
} from '../schemas/page-link.ts';
import { problems } from '../schemas/problem-answers.ts';
import type { Api } from './api.ts';
import { pagePressRoutes } from './page-presses.ts';

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
      ...OPEN_PAGE,
      schema: {
        ...PAGE_SCHEMA,
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
  pagePressRoutes(app, dependencies, { open, device, read, desk });
}

function buttonsOf(bound: string | null, own: string): PageJson['buttons'] {
  if (bound === null) return 'free';
  return bound === own ? 'this-device' : 'another-device';
}

function alarmRoute(app: Api, { records, fleet }: ApiDependencies, open: OpenPage): void {
  app.get(
    '/api/pages/:link/alarms/:alarm',
    {
      ...OPEN_PAGE,
      schema: {
        ...PAGE_SCHEMA,
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
  const { records, telemetry, fleet, live, clock } = dependencies;
  app.get(
    '/api/pages/:link/chart/:alarm',
    {
      ...OPEN_PAGE,
      schema: {
        ...PAGE_SCHEMA,
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
      const latest = live.latest(alarm.site, alarm.unit);
      return pageChart({ telemetry, latest, unit }, alarm, clock());
    },
  );
}
