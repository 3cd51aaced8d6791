import { pbkdf2Sync, randomBytes } from 'node:crypto';

/**
 * Rounds of PBKDF2. Rounds make guessing dear, which is needed where people choose passwords; the
 * secrets here have 256 random bits and cannot be guessed at any price. Mosquitto works one
 * sign-in after another, and all standing ones again when it is told to read its files anew, so
 * few are better: this is what its own tool writes, measured at 0.2 ms.
 */
const ROUNDS = 101;
const SALT_BYTES = 12;
const HASH_BYTES = 64;

/**
 * The hash of a secret as a password file of Mosquitto 2.0 has it behind the user name:
 * `$7$rounds$salt$hash`, PBKDF2 with SHA-512, salt and hash in base64.
 *
 * Source: the files that mosquitto_passwd 2.0.11 writes; the broker takes these.
 */
export function mosquittoHash(secret: string, salt: Buffer = randomBytes(SALT_BYTES)): string {
  const hash = pbkdf2Sync(secret, salt, ROUNDS, HASH_BYTES, 'sha512');
  return `$7$${ROUNDS}$${salt.toString('base64')}$${hash.toString('base64')}`;
}
