import type { PeopleRecords, Role } from '@lineside/storage';
import { hashSecret, newSecret } from './secrets.ts';

/** Time to come back from a holiday; a link that lies about longer is a key under the mat. */
const INVITATION_LIFETIME_MS: number = 7 * 24 * 3_600_000;

interface InvitationOptions {
  readonly role: Role;
  /** What a viewer may read; null for the others, who read everything. */
  readonly sites: readonly string[] | null;
  readonly nowMs: number;
}

/**
 * A one-time secret for `${publicUrl}/#/welcome/<secret>`, with which one person chooses a name and a
 * password within a week. Only its hash is kept. Rejects with `StoreError`.
 */
export async function createInvitation(
  records: Pick<PeopleRecords, 'addInvitation'>,
  { role, sites, nowMs }: InvitationOptions,
): Promise<string> {
  const secret = newSecret();
  const expiresAtMs = nowMs + INVITATION_LIFETIME_MS;
  const secretHash = hashSecret(secret);
  await records.addInvitation({ secretHash, role, sites, createdAtMs: nowMs, expiresAtMs });
  return secret;
}

/**
 * An invitation for the first person of the office; null when there are people already. A new link
 * is printed at each start until someone has used one. Rejects with `StoreError`.
 */
export async function firstInvitation(
  records: Pick<PeopleRecords, 'countPeople' | 'addInvitation'>,
  clock: () => number,
): Promise<string | null> {
  if ((await records.countPeople()) > 0) return null;
  return createInvitation(records, { role: 'office', sites: null, nowMs: clock() });
}
