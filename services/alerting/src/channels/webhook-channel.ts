import { Webhook } from 'standardwebhooks';
import type { Channel } from './channel.ts';
import { mistakeWords, webhookAddressSchema } from './contact-address.ts';
import { outcomeOfAnswer } from './outcome-of-answer.ts';
import type { OutsideGuard } from './outside-guard.ts';
import { postOutside, TRY_TIMEOUT_MS } from './post-outside.ts';
import { webhookBody } from './webhook-body.ts';

export interface WebhookSettings {
  readonly guard: OutsideGuard;
  readonly clock: () => number;
  readonly timeoutMs?: number;
}

/** A receiver that wants no more calls says so with it (Standard Webhooks). */
const GONE = [410];

/**
 * Calls a gateway with a signed body (Standard Webhooks): `webhook-id` is the same however often one
 * revision is tried, so that the gateway can tell a repetition; time and signature are of the try.
 */
export function createWebhookChannel(settings: WebhookSettings): Channel {
  const { guard, clock, timeoutMs = TRY_TIMEOUT_MS } = settings;
  const closing = new AbortController();
  return {
    kind: 'webhook',
    doorOf(address) {
      const read = webhookAddressSchema.safeParse(address);
      return read.success ? new URL(read.data.url).host : null;
    },
    async handOver(address, message) {
      const read = webhookAddressSchema.safeParse(address);
      if (!read.success) return { outcome: 'refused', reason: mistakeWords('webhook', read.error) };
      const { url, secret } = read.data;
      const id = `${message.id}.${message.revision}`;
      const at = new Date(clock());
      const text = webhookBody(message);
      const answer = await postOutside(guard, {
        url: new URL(url),
        headers: {
          'content-type': 'application/json; charset=utf-8',
          'webhook-id': id,
          'webhook-timestamp': Math.floor(at.getTime() / 1000),
          'webhook-signature': new Webhook(secret).sign(id, at, text),
        },
        body: Buffer.from(text),
        timeoutMs,
        closing: closing.signal,
      });
      return outcomeOfAnswer(answer, GONE, clock());
    },
    close: async () => closing.abort(),
  };
}
