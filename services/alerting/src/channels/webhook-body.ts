import type { PageMessage } from './channel.ts';
import { plainLine, plainText, withinBytes } from './plain-text.ts';

/** Most of a body: Standard Webhooks asks for less than 20 kB (from memory). */
const BODY_MOST_BYTES = 20_000;

const TITLE_MOST_BYTES = 512;
const TEXT_MOST_BYTES = 2048;
const LINE_MOST_BYTES = 512;

/** What a gateway is told, as JSON: `type`, `timestamp` and `data` (Standard Webhooks). */
export function webhookBody(message: PageMessage): string {
  const all = message.lines.map((line) => withinBytes(plainLine(line), LINE_MOST_BYTES));
  let kept = all.length;
  let body = bodyWith(message, all, kept);
  while (Buffer.byteLength(body) > BODY_MOST_BYTES && kept > 0) {
    kept = Math.floor(kept * 0.8);
    body = bodyWith(message, all, kept);
  }
  return body;
}

function bodyWith(message: PageMessage, all: readonly string[], kept: number): string {
  const more = all.length - kept;
  return JSON.stringify({
    type: 'page',
    timestamp: new Date(message.createdAtMs).toISOString(),
    data: {
      key: message.pageKey,
      revision: message.revision,
      priority: message.priority,
      title: withinBytes(plainLine(message.title), TITLE_MOST_BYTES),
      body: withinBytes(plainText(message.body), TEXT_MOST_BYTES),
      lines: more === 0 ? all : [...all.slice(0, kept), `and ${more} more`],
      url: message.url,
      expiresAt: new Date(message.expiresAtMs).toISOString(),
    },
  });
}
