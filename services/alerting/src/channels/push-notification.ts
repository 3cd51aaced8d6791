import type { PageMessage } from './channel.ts';
import { plainLine, plainText, withinBytes } from './plain-text.ts';

/**
 * Most that is encrypted for one push. A push service must take 4,096 bytes (RFC 8030, section
 * 7.2), of which encryption needs 103 (RFC 8291); the rest is kept free.
 */
const NOTIFICATION_MOST_BYTES = 3072;

const TITLE_MOST_BYTES = 512;

/** What the dashboard's service worker shows, as JSON. */
export function pushNotification(message: PageMessage): string {
  const isPressing = message.priority !== 'routine';
  const json = (title: string, body: string): string =>
    JSON.stringify({
      title,
      body,
      tag: message.pageKey,
      url: message.url,
      // A newer revision takes the place of the older; only a pressing one makes a sound again.
      renotify: isPressing,
      requireInteraction: isPressing,
      revision: message.revision,
    });
  const title = withinBytes(plainLine(message.title), TITLE_MOST_BYTES);
  let body = withinBytes(plainText(message.body), NOTIFICATION_MOST_BYTES);
  let over = Buffer.byteLength(json(title, body)) - NOTIFICATION_MOST_BYTES;
  while (over > 0 && body !== '') {
    // Escaping makes bytes of JSON out of fewer bytes of text: each round takes at least one off.
    body = withinBytes(body, Math.max(0, Buffer.byteLength(body) - over));
    over = Buffer.byteLength(json(title, body)) - NOTIFICATION_MOST_BYTES;
  }
  return json(title, body);
}
