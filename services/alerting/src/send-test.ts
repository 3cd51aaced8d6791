import { randomBytes } from 'node:crypto';
import type { AlertingRecords, ContactPoint, NewMessage, OnCallRecords } from '@lineside/storage';
import type { MessageWords } from './outbox/message-words.ts';

/** After an hour a test says nothing about now. */
const TEST_HOLDS_MS = 3_600_000;

export interface SendTestParts {
  readonly records: Pick<OnCallRecords, 'contactPoints'> & Pick<AlertingRecords, 'addMessages'>;
  readonly clock: () => number;
  /** To be called after messages were added, so that they are handed over at once. */
  readonly messagesWait: () => void;
}

/** A contact point that a test page was written for. */
export interface TestedContact {
  readonly contact: string;
  readonly channel: ContactPoint['channel'];
  readonly name: string;
}

/**
 * Puts a page that says it is a test into the outbox, for each contact point of a person. It goes
 * the whole way that an alarm's page goes, so what arrives proves the way. Rejects with
 * `StoreError`.
 *
 * @returns the contact points; empty when the person has none.
 */
export async function sendTest(
  { records, clock, messagesWait }: SendTestParts,
  person: string,
): Promise<readonly TestedContact[]> {
  const contacts = (await records.contactPoints()).filter((one) => one.person === person);
  if (contacts.length === 0) return [];
  const pageKey = `test-${randomBytes(8).toString('hex')}`;
  await records.addMessages(contacts.map((contact) => testMessage(contact, pageKey, clock())));
  messagesWait();
  return contacts.map(({ id, channel, name }) => ({ contact: id, channel, name }));
}

function testMessage(contact: ContactPoint, pageKey: string, nowMs: number): NewMessage {
  return {
    id: `${pageKey}.${contact.id}`,
    revision: 1,
    pageKey,
    person: contact.person,
    contact: contact.id,
    channel: contact.channel,
    words: {
      priority: 'routine',
      title: 'Test page: pages reach you here',
      body: `No alarm. Asked for by you, to try “${contact.name}”. Nothing is to be done.`,
      lines: [],
      url: null,
    } satisfies MessageWords,
    createdAtMs: nowMs,
    dueAtMs: nowMs,
    expiresAtMs: nowMs + TEST_HOLDS_MS,
  };
}
