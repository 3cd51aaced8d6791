import { pushKeys, type VapidKeys } from '@lineside/alerting';
import type { OnCallRecords } from '@lineside/storage';

/** Null without a subject: no web push. */
export async function vapidKeys(
  records: Pick<OnCallRecords, 'secretOr'>,
  subject: string | null,
): Promise<VapidKeys | null> {
  return subject === null ? null : { subject, ...(await pushKeys(records)) };
}
