import { createECDH, randomBytes } from 'node:crypto';
import { createOutsideGuard } from '../../src/channels/outside-guard.ts';
import { createWebPushChannel, generateVapidKeys } from '../../src/channels/web-push-channel.ts';
import { type Counterpart, LOOPBACK, type Received } from './counterpart.ts';
import { decryptPush } from './decrypt-push.ts';
import { BUSY_SECONDS, type HttpRequest, loopbackHttp } from './loopback-http.ts';
import { verifyVapid } from './verify-vapid.ts';

const DAY_SECONDS = 86_400;

export interface PushService extends Counterpart {
  /** Headers of what came, and the notification as the service worker gets it. */
  readonly pushes: readonly { headers: HttpRequest['headers']; notification: unknown }[];
  readonly lastBodyBytes: () => number;
}

/** A push service and the browser behind it: takes what RFC 8030, 8291 and 8292 let it take. */
export async function startPushService(
  timeoutMs: number,
  clock: () => number = Date.now,
): Promise<PushService> {
  const vapid = { subject: 'mailto:roofs@example.net', ...generateVapidKeys() };
  const browser = createECDH('prime256v1');
  browser.generateKeys();
  const authSecret = randomBytes(16);
  const received: Received[] = [];
  const pushes: { headers: HttpRequest['headers']; notification: unknown }[] = [];
  let bodyBytes = 0;
  const http = await loopbackHttp(({ headers, method, body }) => {
    if (method !== 'POST' || headers['content-encoding'] !== 'aes128gcm') return 400;
    if (!/^\d+$/.test(headers['ttl']?.toString() ?? '')) return 400;
    const { claims, publicKey } = verifyVapid(headers.authorization ?? '');
    const aheadSeconds = claims.exp - Date.now() / 1000;
    if (claims.aud !== http.origin || claims.sub !== vapid.subject) return 403;
    if (publicKey !== vapid.publicKey || aheadSeconds <= 0 || aheadSeconds > DAY_SECONDS)
      return 403;
    if (body.length > 4096) return 413;
    bodyBytes = body.length;
    const notification = JSON.parse(
      decryptPush(body, { privateKey: browser.getPrivateKey(), authSecret }),
    );
    const topic = headers['topic']?.toString() ?? '';
    if (!/^[\w-]{1,32}$/.test(topic) || notification.tag !== topic) return 400;
    pushes.push({ headers, notification });
    const { title, body: text, url, revision } = notification;
    received.push({ pageKey: topic, tryKey: `${topic} ${revision}`, title, body: text, url });
    return 201;
  });
  const guard = createOutsideGuard({ allow: LOOPBACK });
  const auth = authSecret.toString('base64url');
  const endpoint = `${http.origin}/push/abc123`;
  return {
    channel: createWebPushChannel({ vapid, guard, clock, timeoutMs }),
    address: { endpoint, keys: { p256dh: browser.getPublicKey().toString('base64url'), auth } },
    received,
    pushes,
    lastBodyBytes: () => bodyBytes,
    secrets: ['abc123', auth, vapid.privateKey],
    busyForMs: BUSY_SECONDS * 1000,
    knowsGone: true,
    answer: http.answer,
    goDown: http.close,
    close: http.close,
  };
}
