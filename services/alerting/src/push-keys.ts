import type { OnCallRecords } from '@lineside/storage';
import { z } from 'zod';
import { generateVapidKeys } from './channels/web-push-channel.ts';

/** The pair that push messages are signed with (VAPID, RFC 8292), base64url. */
export interface PushKeys {
  readonly publicKey: string;
  /** A secret. */
  readonly privateKey: string;
}

const keysSchema = z.object({ publicKey: z.string(), privateKey: z.string() });

/** Of the secret in the record store. One JSON text, so that both halves always belong together. */
const SECRET_NAME = 'push-keys';

/**
 * The pair of this house, made on the first call and the same from then on: subscriptions hold for
 * the public key that they were made with. Rejects with `StoreError`.
 */
export async function pushKeys(records: Pick<OnCallRecords, 'secretOr'>): Promise<PushKeys> {
  const fresh = JSON.stringify(generateVapidKeys());
  return keysSchema.parse(JSON.parse(await records.secretOr(SECRET_NAME, fresh)));
}
