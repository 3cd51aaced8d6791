import { createHash } from 'node:crypto';
import { rfc3339 } from '@lineside/alarms';
import type { ContactPoint } from '@lineside/storage';
import type { FastifyRequest } from 'fastify';
import { z } from 'zod';
import { notSignedIn } from '../auth/authenticator.ts';
import { principalOf } from '../auth/gate.ts';
import type { ApiDependencies } from '../dependencies.ts';
import { ApiError, notFound } from '../errors/api-error.ts';
import type { RotaDesk } from '../on-call/rota-desk.ts';
import { rotaPerson } from '../on-call/rota-person.ts';
import {
  type ContactPointJson,
  contactPointParams,
  contactPointSchema,
  contactPointsSchema,
  deviceBody,
  pushKeySchema,
} from '../schemas/contact-point.ts';
import { problems } from '../schemas/problem-answers.ts';
import type { Api } from './api.ts';

/** Devices of one person: phones and desks over some years; each page goes to all of them. */
const DEVICES_MOST = 10;

/** A device whose browser renewed its subscription after the old one was removed. */
const UNNAMED = 'a device';

const PEOPLE = { roles: ['office', 'technician'] } as const;
const SESSION = [{ session: [] }];

/** The person of the contact points: that of the rota, or the user name until it is in one. */
export type ContactOwner = (request: FastifyRequest) => Promise<string>;

export function contactOwner(desk: RotaDesk): ContactOwner {
  return async (request) => {
    const principal = principalOf(request);
    if (principal.session === null) throw notSignedIn();
    const kept = await desk.read();
    const person = kept === null ? null : rotaPerson(kept.rota, principal);
    return person?.id ?? principal.name;
  };
}

export function contactPointRoutes(
  app: Api,
  { records, alerting, clock }: ApiDependencies,
  ownerOf: ContactOwner,
): void {
  app.get(
    '/api/contact-points/mine',
    {
      config: PEOPLE,
      schema: {
        operationId: 'listMyContactPoints',
        summary: 'How you are reached: devices of yours, and what the office entered',
        tags: ['on call'],
        security: SESSION,
        response: { 200: contactPointsSchema, ...problems(401, 403) },
      },
    },
    async (request) => {
      const person = await ownerOf(request);
      const all = await records.contactPoints();
      return { items: all.filter((one) => one.person === person).map(contactPointJson) };
    },
  );
  app.get(
    '/api/push-key',
    {
      config: PEOPLE,
      schema: {
        operationId: 'readPushKey',
        summary: 'The public key that a push subscription is made with',
        tags: ['on call'],
        response: { 200: pushKeySchema, ...problems(401, 403) },
      },
    },
    async () => ({ publicKey: alerting.pushPublicKey }),
  );
  addDeviceRoute(app, { records, alerting, clock }, ownerOf);
  removeRoute(app, records, ownerOf);
}

function addDeviceRoute(
  app: Api,
  { records, alerting, clock }: Pick<ApiDependencies, 'records' | 'alerting' | 'clock'>,
  ownerOf: ContactOwner,
): void {
  app.post(
    '/api/contact-points/mine',
    {
      config: PEOPLE,
      schema: {
        operationId: 'addPushDevice',
        summary: 'Page this device by Web Push; the same subscription twice is no error',
        tags: ['on call'],
        security: SESSION,
        body: deviceBody,
        response: { 201: contactPointSchema, ...problems(400, 401, 403, 409, 413, 415) },
      },
    },
    async (request, reply) => {
      const person = await ownerOf(request);
      if (alerting.pushPublicKey === null) throw noPush();
      const { subscription, replaces } = request.body;
      const id = deviceId(subscription.endpoint);
      const own = (await records.contactPoints()).filter((one) => one.person === person);
      const replaced = replaces === undefined ? null : deviceId(replaces);
      const others = own.filter((one) => one.id !== id && one.id !== replaced);
      if (others.filter(({ origin }) => origin === 'device').length >= DEVICES_MOST) {
        const words = `You have ${DEVICES_MOST} devices; remove one that you no longer use.`;
        throw new ApiError('API_CONFLICT', words);
      }
      const before = own.find((one) => one.id === id || one.id === replaced);
      const name = request.body.name ?? before?.name ?? UNNAMED;
      const { endpoint, keys } = subscription;
      const contact: ContactPoint = {
        ...{ id, person, name, channel: 'web-push', origin: 'device' },
        address: { endpoint, keys: { p256dh: keys.p256dh, auth: keys.auth } },
        createdAtMs: clock(),
      };
      await records.setContactPoint(contact);
      if (replaced !== null && replaced !== id && own.some((one) => one.id === replaced)) {
        await records.removeContactPoint(replaced);
      }
      return reply.code(201).send(contactPointJson(contact));
    },
  );
}

function removeRoute(app: Api, records: ApiDependencies['records'], ownerOf: ContactOwner): void {
  app.delete(
    '/api/contact-points/mine/:id',
    {
      config: PEOPLE,
      schema: {
        operationId: 'removePushDevice',
        summary: 'Page a device of yours no longer',
        tags: ['on call'],
        security: SESSION,
        params: contactPointParams,
        response: { 204: z.null().describe('Removed.'), ...problems(401, 403, 404, 409) },
      },
    },
    async (request, reply) => {
      const person = await ownerOf(request);
      const { id } = request.params;
      const found = (await records.contactPoints()).find((one) => one.id === id);
      if (found === undefined || found.person !== person) throw notFound('This contact point');
      if (found.origin === 'file') {
        throw new ApiError('API_CONFLICT', 'The office keeps it in a file; ask them.');
      }
      await records.removeContactPoint(id);
      return reply.code(204).send(null);
    },
  );
}

const noPush = (): ApiError =>
  new ApiError('API_CONFLICT', 'This server is not set up to page devices; whoever runs it can.');

/** The same for the same subscription, so that a device is never paged twice. */
function deviceId(endpoint: string): string {
  return `device-${createHash('sha256').update(endpoint).digest('hex').slice(0, 32)}`;
}

function contactPointJson(contact: ContactPoint): ContactPointJson {
  const { id, channel, name, origin, createdAtMs } = contact;
  return { id, channel, name, origin, since: rfc3339(createdAtMs) };
}
