import type { PeopleRecords } from '@lineside/storage';
import { hashSecret, newSecret } from './secrets.ts';

/** A new link is printed at each start until someone has used one, so it may end soon. */
const INVITATION_LIFETIME_MS: number = 7 * 24 * 3_600_000;

/**
 * A one-time secret for `${publicUrl}/#/welcome/<secret>`, with which the first person of the
 * office chooses a name and a password; null when there are people already. Rejects with
 * `StoreError`.
 */
export async function firstInvitation(
  records: Pick<PeopleRecords, 'countPeople' | 'addInvitation'>,
  clock: () => number,
): Promise<string | null> {
  if ((await records.countPeople()) > 0) return null;
  const secret = newSecret();
  const nowMs = clock();
  await records.addInvitation({
    secretHash: hashSecret(secret),
    role: 'office',
    sites: null,
    createdAtMs: nowMs,
    expiresAtMs: nowMs + INVITATION_LIFETIME_MS,
  });
  return secret;
}
