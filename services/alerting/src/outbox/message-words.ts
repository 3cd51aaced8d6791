import type { OutboxMessage } from '@lineside/storage';
import { z } from 'zod';
import type { PageMessage } from '../channels/channel.ts';

/** What a message in the outbox keeps as its `words`: plain JSON. */
export interface MessageWords {
  readonly priority: PageMessage['priority'];
  readonly title: string;
  readonly body: string;
  /** All alarms, a line each. */
  readonly lines: readonly string[];
  /** The page behind the link; null for messages that have none. */
  readonly url: string | null;
}

const messageWordsSchema: z.ZodType<MessageWords> = z.object({
  priority: z.enum(['routine', 'urgent', 'emergency']),
  title: z.string().min(1),
  body: z.string(),
  lines: z.array(z.string()).readonly(),
  url: z.url().max(2048).nullable(),
});

/** The message as channels take it; null when its words are of no known shape. */
export function toPageMessage(message: OutboxMessage): PageMessage | null {
  const { pageKey, id, revision, createdAtMs, expiresAtMs } = message;
  const words = messageWordsSchema.safeParse(message.words);
  if (!words.success) return null;
  return { ...words.data, pageKey, id, revision, createdAtMs, expiresAtMs };
}
