import { hash, type Options, verify } from '@node-rs/argon2';
import { newSecret } from './secrets.ts';

/**
 * Argon2id with the least that the OWASP Password Storage Cheat Sheet asks for: 19 MiB, two
 * passes, one lane. Argon2id is the library's default algorithm (its enum cannot be imported as
 * a value from isolated modules).
 */
const ARGON2ID: Options = { memoryCost: 19_456, timeCost: 2, parallelism: 1 };

/** One form for the same characters, whatever keyboard they came from (NIST SP 800-63B). */
const normalized = (password: string): string => password.normalize('NFKC');

export function hashPassword(password: string): Promise<string> {
  return hash(normalized(password), ARGON2ID);
}

let nobodysHash: Promise<string> | null = null;

/**
 * Whether the password fits. With `null`, for someone who does not exist, it takes as long and
 * says no.
 */
export async function passwordFits(
  passwordHash: string | null,
  password: string,
): Promise<boolean> {
  if (passwordHash !== null) return verify(passwordHash, normalized(password));
  nobodysHash ??= hash(newSecret(), ARGON2ID);
  await verify(await nobodysHash, normalized(password));
  return false;
}
