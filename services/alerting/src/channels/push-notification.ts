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
  const body = plainText(message.body);
  const fits = (mostBytes: number): boolean =>
    Buffer.byteLength(json(title, withinBytes(body, mostBytes))) <= NOTIFICATION_MOST_BYTES;
  return json(title, withinBytes(body, mostThatFits(NOTIFICATION_MOST_BYTES, fits)));
}

/** The greatest number up to `most` that fits; escaping in JSON makes bytes hard to foretell. */
function mostThatFits(most: number, fits: (bytes: number) => boolean): number {
  if (fits(most)) return most;
  let [fitting, tooMuch] = [0, most];
  while (tooMuch - fitting > 1) {
    const middle = Math.floor((fitting + tooMuch) / 2);
    if (fits(middle)) fitting = middle;
    else tooMuch = middle;
  }
  return fitting;
}
