import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import type { NodeCredential, UnitRef } from '@lineside/storage';
import { mosquittoHash } from './mosquitto-hash.ts';

/** Random bytes of a password: 256 bits, so that guessing is out of the question. */
const SECRET_BYTES = 32;

/**
 * Hash under which a long random secret (a node's password, a bearer token) is kept: SHA-256 of
 * its UTF-8 bytes, as 64 lower-case hexadecimal digits.
 *
 * A slow password hash is for secrets that people choose, which can be guessed from a list. These
 * have 256 random bits: no list holds them, and a thousand nodes that reconnect at once must not
 * cost a tenth of a second each.
 */
export function hashSecret(secret: string | Uint8Array): string {
  return createHash('sha256').update(secret).digest('hex');
}

/** True when the secret has the hash; takes the same time wherever they differ. */
export function secretMatches(secret: string | Uint8Array, hash: string): boolean {
  const expected = Buffer.from(hash, 'hex');
  const actual = Buffer.from(hashSecret(secret), 'hex');
  return expected.length === actual.length && timingSafeEqual(expected, actual);
}

/** A fresh random secret of 256 bits, 43 characters of A-Z, a-z, 0-9, - and _. */
export function makeSecret(): string {
  return randomBytes(SECRET_BYTES).toString('base64url');
}

export interface NewNodeCredential {
  /** `<site>/<unit>` */
  readonly username: string;
  /** Shown once and kept nowhere. */
  readonly password: string;
  /** What `records.setNodeCredential` keeps. */
  readonly credential: NodeCredential;
}

/**
 * Makes a credential with a fresh random password for a unit's node or an outdoor station
 * (unit `weather`). Storing it replaces the unit's earlier one; at the embedded broker connections
 * that stand are kept, the next one needs the new password.
 */
export function makeNodeCredential(site: string, unit: string, nowMs: number): NewNodeCredential {
  const username = nodeUsername({ site, unit });
  const password = makeSecret();
  const credential: NodeCredential = {
    site,
    unit,
    username,
    secretHash: hashSecret(password),
    mosquittoHash: mosquittoHash(password),
    createdAtMs: nowMs,
  };
  return { username, password, credential };
}

/** The user name of a unit's node, also the common name of its client certificate. */
function nodeUsername(ref: UnitRef): string {
  return `${ref.site}/${ref.unit}`;
}
