import webPush from 'web-push';
import type { Channel, PageMessage } from './channel.ts';
import { mistakeWords, type PushAddress, pushAddressSchema } from './contact-address.ts';
import { outcomeOfAnswer } from './outcome-of-answer.ts';
import type { OutsideGuard } from './outside-guard.ts';
import { postOutside, TRY_TIMEOUT_MS } from './post-outside.ts';
import { pushNotification } from './push-notification.ts';

/** Who pushes (RFC 8292): the keys that subscriptions were made with, and whom to ask about it. */
export interface VapidKeys {
  /** `mailto:` or `https:` address of whoever runs this. */
  readonly subject: string;
  /** Base64url. */
  readonly publicKey: string;
  /** Base64url. A secret. */
  readonly privateKey: string;
}

export interface WebPushSettings {
  readonly vapid: VapidKeys;
  readonly guard: OutsideGuard;
  readonly clock: () => number;
  readonly timeoutMs?: number;
}

/** What a push service answers for a subscription that is no more (RFC 8030, section 7.3). */
const GONE = [404, 410];

/** A fresh pair of VAPID keys in base64url. */
export function generateVapidKeys(): Pick<VapidKeys, 'publicKey' | 'privateKey'> {
  const { publicKey, privateKey } = webPush.generateVAPIDKeys();
  return { publicKey, privateKey };
}

/**
 * Web Push (RFC 8030, 8291, 8292). The page's key is the topic, so that a newer revision takes the
 * place of one that still waits at the push service.
 */
export function createWebPushChannel(settings: WebPushSettings): Channel {
  const { guard, clock, timeoutMs = TRY_TIMEOUT_MS } = settings;
  const closing = new AbortController();
  return {
    kind: 'web-push',
    doorOf: (address) => hostOf(address),
    async handOver(address, message) {
      const read = pushAddressSchema.safeParse(address);
      if (!read.success) {
        return { outcome: 'refused', reason: mistakeWords('web-push', read.error) };
      }
      const prepared = prepare(read.data, message, settings.vapid, clock());
      if (prepared === null) {
        return {
          outcome: 'refused',
          reason: 'cannot encrypt for the subscription: its key is no point on P-256',
        };
      }
      const url = new URL(read.data.endpoint);
      const when = { timeoutMs, closing: closing.signal };
      const answer = await postOutside(guard, { url, ...prepared, ...when });
      return outcomeOfAnswer(answer, GONE, clock());
    },
    close: async () => closing.abort(),
  };
}

interface Prepared {
  readonly headers: Readonly<Record<string, string | number>>;
  readonly body: Buffer;
}

function prepare(
  { endpoint, keys }: PushAddress,
  message: PageMessage,
  vapidDetails: VapidKeys,
  nowMs: number,
): Prepared | null {
  try {
    const { headers, body } = webPush.generateRequestDetails(
      { endpoint: new URL(endpoint).href, keys },
      pushNotification(message),
      {
        vapidDetails,
        TTL: Math.max(0, Math.ceil((message.expiresAtMs - nowMs) / 1000)),
        topic: message.pageKey,
        urgency: message.priority === 'routine' ? 'normal' : 'high',
        contentEncoding: 'aes128gcm',
      },
    );
    const { 'Content-Length': _own, ...rest } = headers;
    return { headers: rest, body: Buffer.from(body ?? '') };
  } catch {
    // The library's words quote the key; whoever reads the log must not learn it.
    return null;
  }
}

function hostOf(address: unknown): string | null {
  const read = pushAddressSchema.safeParse(address);
  return read.success ? new URL(read.data.endpoint).host : null;
}
