import { createHash } from 'node:crypto';
import { calendarOfAllTeams } from '@lineside/oncall';
import { z } from 'zod';
import { notSignedIn } from '../auth/authenticator.ts';
import { principalOf } from '../auth/gate.ts';
import { hashSecret, newSecret } from '../auth/secrets.ts';
import type { ApiDependencies } from '../dependencies.ts';
import { ApiError } from '../errors/api-error.ts';
import type { KeptRota, RotaDesk } from '../on-call/rota-desk.ts';
import { personNamed, rotaPerson } from '../on-call/rota-person.ts';
import { calendarAddressSchema, calendarParams } from '../schemas/calendar.ts';
import { problems } from '../schemas/problem-answers.ts';
import type { Api } from './api.ts';

const DAY_MS = 86_400_000;
/** What has been, for who looks up when they worked. */
const BACK_MS = 60 * DAY_MS;
/** As far ahead as people plan holidays. */
const AHEAD_MS = 400 * DAY_MS;

const PATH = '/api/on-call/calendar';
const PEOPLE = { roles: ['office', 'technician'] } as const;

export function calendarRoutes(app: Api, dependencies: ApiDependencies, desk: RotaDesk): void {
  const { records } = dependencies;
  app.post(
    PATH,
    {
      compress: false,
      config: PEOPLE,
      schema: {
        operationId: 'makeCalendarAddress',
        summary: 'A secret address of your calendar of shifts; the one before holds no longer',
        tags: ['on call'],
        security: [{ session: [] }],
        response: { 201: calendarAddressSchema, ...problems(401, 403) },
      },
    },
    async (request, reply) => {
      const principal = principalOf(request);
      if (principal.session === null) throw notSignedIn();
      const kept = await desk.read();
      const secret = newSecret();
      await records.setCalendarSecret(principal.name, hashSecret(secret));
      const hasShifts = kept !== null && rotaPerson(kept.rota, principal) !== null;
      const shows = hasShifts || principal.role !== 'office' ? 'own' : 'all';
      reply.header('cache-control', 'no-store');
      return reply.code(201).send({ path: `${PATH}/${secret}.ics`, shows });
    },
  );
  app.delete(
    PATH,
    {
      config: PEOPLE,
      schema: {
        operationId: 'takeBackCalendarAddress',
        summary: 'Take the address of your calendar back; it shows nothing any more',
        tags: ['on call'],
        security: [{ session: [] }],
        response: { 204: z.null().describe('It holds no longer.'), ...problems(401, 403) },
      },
    },
    async (request, reply) => {
      const principal = principalOf(request);
      if (principal.session === null) throw notSignedIn();
      await records.setCalendarSecret(principal.name, null);
      return reply.code(204).send(null);
    },
  );
  feedRoute(app, dependencies, desk);
}

function feedRoute(app: Api, dependencies: ApiDependencies, desk: RotaDesk): void {
  const { records, publicUrl, clock } = dependencies;
  app.get(
    `${PATH}/:file`,
    {
      compress: false,
      config: { open: true },
      schema: {
        operationId: 'readCalendar',
        summary: 'Shifts as an iCalendar object (RFC 5545), for a calendar to subscribe to',
        tags: ['on call'],
        security: [],
        params: calendarParams,
        response: {
          200: {
            description: 'The calendar.',
            content: { 'text/calendar': { schema: z.string() } },
          },
          304: z.null().describe('It is as If-None-Match has it.'),
          ...problems(400, 404),
        },
      },
    },
    async (request, reply) => {
      const secret = request.params.file.replace(/\.ics$/, '');
      const owner = await records.calendarOwner(hashSecret(secret));
      const person = owner === null ? null : await records.personByUsername(owner);
      const kept = await desk.read();
      if (person === null || kept === null) throw gone();
      const own = personNamed(kept.rota, person.username)?.id;
      if (own === undefined && person.role !== 'office') throw gone();
      const text = feed(kept, own, new URL(publicUrl).hostname, clock());
      const etag = `"${createHash('sha256').update(text).digest('base64url')}"`;
      reply.header('etag', etag).header('cache-control', 'private, no-cache');
      if (request.headers['if-none-match'] === etag) return reply.code(304).send(null);
      return reply.type('text/calendar; charset=utf-8').serializer(asItIs).send(text);
    },
  );
}

const asItIs = (text: string): string => text;

const gone = (): ApiError =>
  new ApiError('API_NOT_FOUND', 'This calendar is no more; make a new address for it.');

/** Days that begin at midnight UTC, so that the text stays the same for a day. */
function feed(
  { rota, seenAtMs }: KeptRota,
  person: string | undefined,
  domain: string,
  nowMs: number,
): string {
  const todayMs = Math.floor(nowMs / DAY_MS) * DAY_MS;
  return calendarOfAllTeams(rota, {
    fromMs: todayMs - BACK_MS,
    toMs: todayMs + AHEAD_MS,
    changedAtMs: seenAtMs,
    domain,
    person,
  });
}
