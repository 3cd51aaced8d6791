import type { Invitation, PeopleRecords, Person } from '@lineside/storage';
import { hashPassword } from '../auth/passwords.ts';
import { hashSecret, newId } from '../auth/secrets.ts';
import { ApiError } from '../errors/api-error.ts';
import { problems } from '../schemas/problem-answers.ts';
import {
  type AcceptanceBody,
  acceptanceBody,
  invitationParams,
  invitationSchema,
  sessionSchema,
} from '../schemas/session.ts';
import type { Api } from './api.ts';
import type { SessionParts } from './sessions.ts';

export interface InvitationParts extends SessionParts {
  readonly records: PeopleRecords;
  readonly clock: () => number;
}

export function invitationRoutes(app: Api, parts: InvitationParts): void {
  app.get(
    '/api/invitation/:secret',
    {
      config: { open: true },
      schema: {
        operationId: 'readInvitation',
        summary: 'Whether an invitation still holds, and for which role',
        tags: ['session'],
        security: [],
        params: invitationParams,
        response: { 200: invitationSchema, ...problems(400, 404) },
      },
    },
    async (request, reply) => {
      parts.rate.signIn(request.ip);
      reply.header('cache-control', 'no-store');
      const { role } = await validInvitation(parts, request.params.secret);
      return { role };
    },
  );
  app.post(
    '/api/invitation',
    {
      compress: false,
      config: { open: true },
      schema: {
        operationId: 'acceptInvitation',
        summary: 'Choose a name and a password; signs in',
        tags: ['session'],
        security: [],
        body: acceptanceBody,
        response: { 201: sessionSchema, ...problems(400, 403, 404, 409, 413, 415) },
      },
    },
    async (request, reply) => {
      parts.rate.signIn(request.ip);
      const person = await accept(parts, request.body);
      const opened = await parts.sessions.open(person);
      parts.cookie.write(reply, opened.secret);
      return reply.code(201).header('cache-control', 'no-store').send(opened.json);
    },
  );
}

async function validInvitation(parts: InvitationParts, secret: string): Promise<Invitation> {
  const invitation = await parts.records.invitation(hashSecret(secret));
  if (invitation === null || invitation.expiresAtMs <= parts.clock()) throw gone();
  return invitation;
}

const gone = (): ApiError =>
  new ApiError('API_NOT_FOUND', 'This link has been used or has ended; ask for a new one.');

async function accept(parts: InvitationParts, body: AcceptanceBody): Promise<Person> {
  const { role, sites } = await validInvitation(parts, body.secret);
  const { username, displayName, password } = body;
  if ((await parts.records.personByUsername(username)) !== null) {
    throw new ApiError('API_CONFLICT', 'This user name is taken; choose another.');
  }
  const nowMs = parts.clock();
  const person: Person = {
    id: newId(),
    username,
    displayName,
    passwordHash: await hashPassword(password),
    role,
    sites,
    createdAtMs: nowMs,
  };
  if (!(await parts.records.acceptInvitation(hashSecret(body.secret), person, nowMs))) throw gone();
  return person;
}
