import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';

/** 256 bits: not to be guessed, so a plain fast hash keeps them. */
const SECRET_BYTES = 32;

/** A new random secret in base64url, after `prefix`. */
export function newSecret(prefix = ''): string {
  return prefix + randomBytes(SECRET_BYTES).toString('base64url');
}

/** A short random id that is no secret. */
export function newId(): string {
  return randomBytes(12).toString('base64url');
}

/** What is stored of a secret of `newSecret`: SHA-256, hexadecimal. */
export function hashSecret(secret: string): string {
  return createHash('sha256').update(secret).digest('hex');
}

/** Compares without telling by time where two texts differ. */
export function sameText(one: string, other: string): boolean {
  const hash = (text: string): Buffer => createHash('sha256').update(text).digest();
  return timingSafeEqual(hash(one), hash(other));
}
