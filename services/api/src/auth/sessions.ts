import type { PeopleRecords, Person, SessionRecord } from '@lineside/storage';
import type { SessionJson } from '../schemas/session.ts';
import type { Principal } from './principal.ts';
import { hashSecret, newSecret } from './secrets.ts';

/** A session ends after a week without a request: a phone in a truck over a holiday. */
export const SESSION_IDLE_MS: number = 7 * 24 * 3_600_000;
/** And after 30 days in any case, the longest that NIST SP 800-63B allows at level AAL1. */
export const SESSION_LONGEST_MS: number = 30 * 24 * 3_600_000;
/** How far an expiry must move before it is written again, so that reading does not write. */
const RENEW_STEP_MS = 3_600_000;

export interface OpenedSession {
  /** For the cookie; exists nowhere else. */
  readonly secret: string;
  readonly json: SessionJson;
}

/** Sessions of people at browsers. Every method rejects with `StoreError`. */
export class Sessions {
  readonly #records: PeopleRecords;
  readonly #clock: () => number;

  constructor(records: PeopleRecords, clock: () => number) {
    this.#records = records;
    this.#clock = clock;
  }

  async open(person: Person): Promise<OpenedSession> {
    const nowMs = this.#clock();
    await this.#records.forgetSessionsBefore(nowMs);
    const secret = newSecret();
    const csrfToken = newSecret();
    await this.#records.addSession({
      sessionHash: hashSecret(secret),
      personId: person.id,
      csrfToken,
      createdAtMs: nowMs,
      expiresAtMs: nowMs + SESSION_IDLE_MS,
    });
    return { secret, json: sessionJson(person, csrfToken) };
  }

  /** Who holds the secret; null when the session is unknown, over, or of nobody. */
  async principal(secret: string): Promise<Principal | null> {
    const session = await this.#records.sessionByHash(hashSecret(secret));
    if (session === null || session.expiresAtMs <= this.#clock()) return null;
    const person = await this.#records.person(session.personId);
    if (person === null) return null;
    await this.#renew(session);
    return principalFrom(person, session);
  }

  async end(secret: string): Promise<void> {
    await this.#records.endSession(hashSecret(secret));
  }

  async #renew(session: SessionRecord): Promise<void> {
    const idleEndMs = this.#clock() + SESSION_IDLE_MS;
    const expiresAtMs = Math.min(idleEndMs, session.createdAtMs + SESSION_LONGEST_MS);
    if (expiresAtMs - session.expiresAtMs < RENEW_STEP_MS) return;
    await this.#records.addSession({ ...session, expiresAtMs });
  }
}

function principalFrom(person: Person, session: SessionRecord): Principal {
  return {
    role: person.role,
    sites: person.role === 'viewer' ? (person.sites ?? []) : null,
    name: person.username,
    key: `person:${person.id}`,
    session: {
      sessionHash: session.sessionHash,
      csrfToken: session.csrfToken,
      displayName: person.displayName,
    },
  };
}

function sessionJson(person: Person, csrfToken: string): SessionJson {
  const { username, displayName, role } = person;
  const sites = role === 'viewer' ? (person.sites ?? []) : null;
  return { person: { username, displayName, role, sites }, csrfToken };
}

/** The same answer for a session that is already open; null for a token. */
export function sessionJsonOf(principal: Principal): SessionJson | null {
  if (principal.session === null) return null;
  const { role, sites, name, session } = principal;
  return {
    person: { username: name, displayName: session.displayName, role, sites },
    csrfToken: session.csrfToken,
  };
}
