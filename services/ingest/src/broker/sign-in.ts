import { TLSSocket } from 'node:tls';
import type { UnitRef } from '@lineside/storage';
import type { AuthenticateError, Client } from 'aedes';
import type { Logger } from 'pino';
import type { IngestSettings } from '../ingest.ts';
import {
  type CredentialRecords,
  type Identity,
  identify,
  identityFromCertificate,
  isRevoked,
} from './identity.ts';
import type { Session } from './session.ts';

/** CONNACK return codes, MQTT 3.1.1 section 3.2.2.3. */
const SERVER_UNAVAILABLE = 3;
const BAD_USERNAME_OR_PASSWORD = 4;

interface SignInAttempt {
  readonly client: Client;
  readonly session: Session;
  readonly username: string | undefined;
  readonly password: Uint8Array | undefined;
  readonly records: CredentialRecords;
  readonly log: Logger;
  readonly settings: IngestSettings;
  readonly onRefusedSignIn?: () => void;
}

type Done = (error: AuthenticateError | null, success: boolean | null) => void;

/** Finds out who is connecting and answers the broker; nobody anonymous is let in. */
export function signIn(attempt: SignInAttempt, done: Done): void {
  const certificate = certificateOf(attempt);
  if (certificate.kind === 'refused') {
    refuse(attempt, certificate.reason, BAD_USERNAME_OR_PASSWORD, done);
    return;
  }
  const looked =
    certificate.kind === 'node' ? byCertificate(attempt, certificate.ref) : byPassword(attempt);
  looked.then(
    (found) => {
      if (typeof found === 'string') refuse(attempt, found, BAD_USERNAME_OR_PASSWORD, done);
      else admit(attempt, found, done);
    },
    (error: unknown) => {
      attempt.log.warn({ err: error }, 'credentials cannot be read; connection refused');
      refuse(attempt, 'credentials cannot be read, try again', SERVER_UNAVAILABLE, done);
    },
  );
}

/** Who it is, or why it is refused. */
async function byCertificate(attempt: SignInAttempt, ref: UnitRef): Promise<Identity | string> {
  const revoked = await isRevoked(attempt.records, ref);
  return revoked ? 'client certificate: the unit was revoked' : { kind: 'node', ...ref };
}

async function byPassword({ records, ...attempt }: SignInAttempt): Promise<Identity | string> {
  const identity = await identify(records, attempt.username, attempt.password);
  return identity ?? 'unknown user name or wrong password';
}

function certificateOf(attempt: SignInAttempt): ReturnType<typeof identityFromCertificate> {
  const { tls } = attempt.settings;
  const socket = attempt.client.conn;
  if (tls === null || tls.clientCa === null || !(socket instanceof TLSSocket)) {
    return { kind: 'none' };
  }
  return identityFromCertificate(socket);
}

function admit(attempt: SignInAttempt, identity: Identity, done: Done): void {
  attempt.session.identity = identity;
  const owner =
    identity.kind === 'node' ? `${identity.site}/${identity.unit}` : `token/${identity.token.id}`;
  // A second connection with the same client id ends the first. With its owner in front, the id
  // that a node chooses can end that node's own connection only.
  Object.assign(attempt.client, { id: `${owner}/${attempt.client.id}` });
  done(null, true);
}

function refuse(attempt: SignInAttempt, reason: string, returnCode: 3 | 4, done: Done): void {
  const username = attempt.username?.slice(0, 127) ?? null;
  attempt.log.debug({ username, reason }, 'sign-in refused');
  attempt.onRefusedSignIn?.();
  done(Object.assign(new Error(reason), { returnCode }), false);
}
