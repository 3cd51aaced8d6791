import type { TLSSocket } from 'node:tls';
import { ID_PATTERN } from '@lineside/readings';
import type { ApiToken, RecordStore, UnitRef } from '@lineside/storage';
import { hashSecret, secretMatches } from './credentials.ts';

/** Who is at the other end of a connection. */
export type Identity =
  | { readonly kind: 'node'; readonly site: string; readonly unit: string }
  | { readonly kind: 'token'; readonly token: ApiToken };

/** What sign-in needs of the records. */
export type CredentialRecords = Pick<
  RecordStore,
  'nodeCredential' | 'revocationsAfter' | 'revokedNodes' | 'tokenByHash'
>;

/** The user name under which a program signs in with a bearer token as password. */
const TOKEN_USERNAME = 'token';

/** Longer user names cannot be ours: 63 + 1 + 63 characters. */
const MOST_USERNAME_CHARACTERS = 127;

/**
 * Looks the credential up anew at each call, so that a changed password counts from the next
 * connection. Null when it is refused; rejects with `StoreError` when the records cannot be read.
 */
export async function identify(
  records: Pick<CredentialRecords, 'nodeCredential' | 'tokenByHash'>,
  username: string | undefined,
  password: Uint8Array | undefined,
): Promise<Identity | null> {
  if (
    username === undefined ||
    username.length > MOST_USERNAME_CHARACTERS ||
    password === undefined ||
    password.length === 0
  ) {
    return null;
  }
  if (username === TOKEN_USERNAME) {
    // The lookup is by the hash of what was sent, so its timing tells nothing about a valid token.
    const token = await records.tokenByHash(hashSecret(password));
    return token === null ? null : { kind: 'token', token };
  }
  const credential = await records.nodeCredential(username);
  if (credential === null || !secretMatches(password, credential.secretHash)) {
    return null;
  }
  return { kind: 'node', site: credential.site, unit: credential.unit };
}

/**
 * True when the unit's sign-in was taken away, which counts for its certificate as well. Rejects
 * with `StoreError` when the records cannot be read.
 */
export async function isRevoked(
  records: Pick<CredentialRecords, 'revokedNodes'>,
  ref: UnitRef,
): Promise<boolean> {
  const revoked = await records.revokedNodes();
  return revoked.some(({ site, unit }) => site === ref.site && unit === ref.unit);
}

/** What a client certificate says about its holder. */
export type CertificateVerdict =
  | { readonly kind: 'none' }
  | { readonly kind: 'refused'; readonly reason: string }
  | { readonly kind: 'node'; readonly ref: UnitRef };

/**
 * Reads the common name `<site>/<unit>` of a client certificate that the given authority signed.
 * A certificate is an identity of its own: no password is asked for beside it.
 */
export function identityFromCertificate(socket: TLSSocket): CertificateVerdict {
  const certificate = socket.getPeerCertificate();
  // Without a certificate Node answers an empty object.
  if (certificate?.subject === undefined) {
    return { kind: 'none' };
  }
  if (!socket.authorized) {
    return { kind: 'refused', reason: `client certificate: ${socket.authorizationError}` };
  }
  const parts = String(certificate.subject.CN ?? '').split('/');
  const [site, unit] = parts;
  if (parts.length !== 2 || !isId(site) || !isId(unit)) {
    return { kind: 'refused', reason: 'client certificate: common name is not <site>/<unit>' };
  }
  return { kind: 'node', ref: { site, unit } };
}

function isId(text: string | undefined): text is string {
  return text !== undefined && ID_PATTERN.test(text);
}
