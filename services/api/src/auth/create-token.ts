import type { PeopleRecords, Role } from '@lineside/storage';
import { hashSecret, newId, newSecret } from './secrets.ts';

/** Makes a token that leaked into a log or a repository easy to find. */
const TOKEN_PREFIX = 'lineside_';

export interface NewToken {
  readonly role: Role;
  /** Sites that a viewer reads; empty: none. Other roles read all. */
  readonly sites: readonly string[];
  readonly nowMs: number;
}

/**
 * Adds a bearer token and returns it in plain text, which exists nowhere else afterwards.
 * Rejects with `StoreError`.
 */
export async function createToken(
  records: Pick<PeopleRecords, 'addToken'>,
  { role, sites, nowMs }: NewToken,
): Promise<string> {
  const token = newSecret(TOKEN_PREFIX);
  await records.addToken({
    id: newId(),
    tokenHash: hashSecret(token),
    role,
    sites: role === 'viewer' ? sites : null,
    createdAtMs: nowMs,
  });
  return token;
}
