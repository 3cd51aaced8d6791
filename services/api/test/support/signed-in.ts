import type { Role } from '@lineside/storage';
import type { LightMyRequestResponse } from 'fastify';
import { hashSecret } from '../../src/auth/secrets.ts';
import { Sessions } from '../../src/auth/sessions.ts';
import type { ApiRecords } from '../../src/dependencies.ts';
import type { House } from './house.ts';

/** Makes requests of one person at a browser. */
export type AsPerson = (
  method: 'GET' | 'POST' | 'DELETE',
  url: string,
  body?: object,
) => Promise<LightMyRequestResponse>;

/** Gives somebody an account and signs them in. */
export async function signedIn(
  house: House,
  records: ApiRecords,
  username: string,
  role: Role,
): Promise<AsPerson> {
  const clock = (): number => house.nowMs;
  const secretHash = hashSecret(`invitation of ${username}`);
  const expiresAtMs = clock() + 60_000;
  await records.addInvitation({ secretHash, role, sites: null, createdAtMs: clock(), expiresAtMs });
  const person = {
    ...{ id: `id-of-${username}`, username, displayName: username, passwordHash: 'none' },
    ...{ role, sites: null, createdAtMs: clock() },
  };
  await records.acceptInvitation(secretHash, person, clock());
  const { secret, json } = await new Sessions(records, clock).open(person);
  return (method, url, body) =>
    house.app.inject({
      ...{ method, url },
      headers: { cookie: both(secret), 'x-csrf-token': json.csrfToken },
      ...(body === undefined ? {} : { payload: body }),
    });
}

/** Under the name for plain HTTP and that for HTTPS. */
const both = (secret: string): string => `lineside=${secret}; __Host-lineside=${secret}`;
