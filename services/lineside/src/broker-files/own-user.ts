import { makeSecret, mosquittoHash } from '@lineside/ingest';
import type { BrokerUser, BrokerUserRecords } from '@lineside/storage';
import { OWN_USER } from './admitted.ts';

/** The user of Lineside's own processes, with the secret that they sign in with. */
export type OwnUser = BrokerUser & { readonly secret: string };

/**
 * The user as it was made first, or a new one where there is none, or where `fresh` asks for one.
 * Its secret is kept in the records, as the broker's files may have to be made again elsewhere.
 */
export async function ownUser(
  records: Pick<BrokerUserRecords, 'brokerUsers' | 'setBrokerUser'>,
  nowMs: number,
  fresh: boolean,
): Promise<OwnUser> {
  const known = (await records.brokerUsers()).find(({ name }) => name === OWN_USER);
  if (!fresh && known !== undefined && known.secret !== null) {
    return { ...known, secret: known.secret };
  }
  const secret = makeSecret();
  const made: OwnUser = {
    name: OWN_USER,
    sites: null,
    mosquittoHash: mosquittoHash(secret),
    secret,
    createdAtMs: nowMs,
  };
  await records.setBrokerUser(made);
  return made;
}
