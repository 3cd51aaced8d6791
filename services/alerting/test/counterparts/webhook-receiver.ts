import { createHmac, randomBytes } from 'node:crypto';
import { createOutsideGuard } from '../../src/channels/outside-guard.ts';
import { createWebhookChannel } from '../../src/channels/webhook-channel.ts';
import { type Counterpart, LOOPBACK, type Received } from './counterpart.ts';
import { BUSY_SECONDS, loopbackHttp } from './loopback-http.ts';

/** Signature of a call by Standard Webhooks, made with nothing but node:crypto. */
export function signatureOf(secret: string, id: string, seconds: string, body: string): string {
  const key = Buffer.from(secret.replace(/^whsec_/, ''), 'base64');
  const signed = createHmac('sha256', key).update(`${id}.${seconds}.${body}`);
  return `v1,${signed.digest('base64')}`;
}

const TOLERANCE_SECONDS = 300;

export interface WebhookReceiver extends Counterpart {
  readonly calls: readonly { id: string; body: unknown; bytes: number }[];
}

/** A gateway that takes only what is signed with its secret. */
export async function startWebhookReceiver(
  timeoutMs: number,
  clock: () => number = Date.now,
): Promise<WebhookReceiver> {
  const secret = `whsec_${randomBytes(24).toString('base64')}`;
  const received: Received[] = [];
  const calls: { id: string; body: unknown; bytes: number }[] = [];
  const http = await loopbackHttp(({ headers, method, body }) => {
    const id = headers['webhook-id']?.toString() ?? '';
    const seconds = headers['webhook-timestamp']?.toString() ?? '';
    const text = body.toString('utf8');
    const isFresh = Math.abs(clock() / 1000 - Number(seconds)) < TOLERANCE_SECONDS;
    if (method !== 'POST' || id === '' || !isFresh) return 400;
    if (headers['webhook-signature'] !== signatureOf(secret, id, seconds, text)) return 401;
    const call = JSON.parse(text);
    if (call.type !== 'page') return 400;
    calls.push({ id, body: call, bytes: body.length });
    const { key, title, body: words, url } = call.data;
    received.push({ pageKey: key, tryKey: id, title, body: words, url });
    return 204;
  });
  const guard = createOutsideGuard({ allow: LOOPBACK });
  return {
    channel: createWebhookChannel({ guard, clock, timeoutMs }),
    address: { url: `${http.origin}/hook/t0ken`, secret },
    received,
    calls,
    secrets: ['t0ken', secret],
    busyForMs: BUSY_SECONDS * 1000,
    knowsGone: true,
    answer: http.answer,
    goDown: http.close,
    close: http.close,
  };
}
