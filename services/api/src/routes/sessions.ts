import { z } from 'zod';
import { notSignedIn } from '../auth/authenticator.ts';
import { principalOf } from '../auth/gate.ts';
import type { RequestRate } from '../auth/request-rate.ts';
import type { SessionCookie } from '../auth/session-cookie.ts';
import { type Sessions, sessionJsonOf } from '../auth/sessions.ts';
import type { SignIn } from '../auth/sign-in.ts';
import { problems } from '../schemas/problem-answers.ts';
import { sessionSchema, signInBody } from '../schemas/session.ts';
import type { Api } from './api.ts';

export interface SessionParts {
  readonly sessions: Sessions;
  readonly signIn: SignIn;
  readonly cookie: SessionCookie;
  readonly rate: RequestRate;
}

/** Holds a secret beside what a caller sent: compressing the two together would leak it. */
const UNCOMPRESSED = { compress: false } as const;

export function sessionRoutes(app: Api, parts: SessionParts): void {
  signInRoute(app, parts);
  app.get(
    '/api/session',
    {
      ...UNCOMPRESSED,
      schema: {
        operationId: 'readSession',
        summary: 'Who is signed in, and the token for changes',
        tags: ['session'],
        security: [{ session: [] }],
        response: { 200: sessionSchema, ...problems(401) },
      },
    },
    async (request, reply) => {
      const session = sessionJsonOf(principalOf(request));
      if (session === null) throw notSignedIn();
      reply.header('cache-control', 'no-store');
      return session;
    },
  );
  app.delete(
    '/api/session',
    {
      schema: {
        operationId: 'endSession',
        summary: 'Sign out',
        tags: ['session'],
        security: [{ session: [] }],
        response: { 204: z.null().describe('Signed out.'), ...problems(401, 403) },
      },
    },
    async (request, reply) => {
      const secret = parts.cookie.read(request);
      if (principalOf(request).session === null || secret === null) throw notSignedIn();
      await parts.sessions.end(secret);
      parts.cookie.clear(reply);
      return reply.code(204).send(null);
    },
  );
}

function signInRoute(app: Api, { sessions, signIn, cookie, rate }: SessionParts): void {
  app.post(
    '/api/session',
    {
      ...UNCOMPRESSED,
      config: { open: true },
      schema: {
        operationId: 'startSession',
        summary: 'Sign in with name and password; sets the session cookie',
        tags: ['session'],
        security: [],
        body: signInBody,
        response: { 200: sessionSchema, ...problems(400, 401, 403, 413, 415) },
      },
    },
    async (request, reply) => {
      rate.signIn(request.ip);
      const { username, password } = request.body;
      const person = await signIn.check(username, password);
      const before = cookie.read(request);
      if (before !== null) await sessions.end(before);
      const opened = await sessions.open(person);
      cookie.write(reply, opened.secret);
      reply.header('cache-control', 'no-store');
      return opened.json;
    },
  );
}
