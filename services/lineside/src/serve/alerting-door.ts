import { pushKeys, sendTest } from '@lineside/alerting';
import type { AlertingDoor } from '@lineside/api';
import type { RecordStore } from '@lineside/storage';

/** What the web side asks of alerting. `messagesWait` is called when a message was written. */
export async function alertingDoor(
  records: RecordStore,
  clock: () => number,
  sendsPush: boolean,
  messagesWait: () => void,
): Promise<AlertingDoor> {
  const keys = sendsPush ? await pushKeys(records) : null;
  return {
    pushPublicKey: keys?.publicKey ?? null,
    sendTest: (person) => sendTest({ records, clock, messagesWait }, person),
  };
}
