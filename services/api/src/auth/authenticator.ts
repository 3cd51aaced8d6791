import type { PeopleRecords } from '@lineside/storage';
import type { FastifyRequest } from 'fastify';
import { ApiError } from '../errors/api-error.ts';
import type { Principal } from './principal.ts';
import { hashSecret } from './secrets.ts';
import type { SessionCookie } from './session-cookie.ts';
import type { Sessions } from './sessions.ts';

const CHALLENGE = 'Bearer realm="lineside"';

/** Longer than any token that is handed out; a longer one is not even hashed. */
const TOKEN_MOST_CHARACTERS = 256;

export function notSignedIn(): ApiError {
  return new ApiError('API_NOT_SIGNED_IN', 'Send a bearer token, or sign in.', {
    challenge: CHALLENGE,
  });
}

export function badCredentials(): ApiError {
  return new ApiError('API_BAD_CREDENTIALS', 'Check both and try again.', {
    challenge: CHALLENGE,
  });
}

function badToken(): ApiError {
  return new ApiError('API_NOT_SIGNED_IN', 'The bearer token is not known.', {
    challenge: `${CHALLENGE}, error="invalid_token"`,
  });
}

/** Finds out who makes a request. */
export class Authenticator {
  readonly #records: PeopleRecords;
  readonly #sessions: Sessions;
  readonly #cookie: SessionCookie;

  constructor(records: PeopleRecords, sessions: Sessions, cookie: SessionCookie) {
    this.#records = records;
    this.#sessions = sessions;
    this.#cookie = cookie;
  }

  /**
   * A bearer token goes before a cookie. Null when there is neither, or the session is over.
   * Rejects with 401 for a token that is not known, and with `StoreError`.
   */
  async principal(request: FastifyRequest): Promise<Principal | null> {
    const { authorization } = request.headers;
    if (authorization !== undefined) return this.#tokenHolder(authorization);
    const secret = this.#cookie.read(request);
    return secret === null ? null : this.#sessions.principal(secret);
  }

  async #tokenHolder(authorization: string): Promise<Principal> {
    const token = /^Bearer +(\S+) *$/i.exec(authorization)?.[1];
    if (token === undefined || token.length > TOKEN_MOST_CHARACTERS) throw badToken();
    const known = await this.#records.tokenByHash(hashSecret(token));
    if (known === null) throw badToken();
    return {
      role: known.role,
      sites: known.role === 'viewer' ? (known.sites ?? []) : null,
      name: `token ${known.id}`,
      key: `token:${known.id}`,
      session: null,
    };
  }
}
