import type { ChannelKind } from '@lineside/storage';
import { z } from 'zod';

/** Longest address that is called; common practice, no source. */
const URL_MOST_CHARACTERS = 2048;

/** Uncompressed point on P-256: what a browser gives as `p256dh`. */
const PUSH_KEY_BYTES = 65;
/** Length of the authentication secret. Source: RFC 8291, section 3.2. */
const PUSH_SECRET_BYTES = 16;

/** Standard Webhooks asks for 24 to 64 bytes (from memory). */
const SECRET_BYTES = { least: 24, most: 64 } as const;

const callable = z
  .string({ error: 'expected an address' })
  .max(URL_MOST_CHARACTERS, `expected at most ${URL_MOST_CHARACTERS} characters`)
  .refine(isCallable, 'expected an https address without user name and password');

function isCallable(text: string): boolean {
  if (!URL.canParse(text)) return false;
  const { protocol, username, password, hostname } = new URL(text);
  return /^https?:$/.test(protocol) && username === '' && password === '' && hostname !== '';
}

const bytesOf = (count: number) => (text: string) =>
  Buffer.from(text, 'base64url').length === count;

/** A browser's push subscription as `PushSubscription.toJSON()` gives it (W3C Push API). */
export const pushAddressSchema: z.ZodType<PushAddress> = z.object({
  endpoint: callable,
  keys: z.object({
    p256dh: z
      .string()
      .regex(/^[\w-]+=*$/, 'expected base64url')
      .refine(bytesOf(PUSH_KEY_BYTES), `expected ${PUSH_KEY_BYTES} bytes in base64url`),
    auth: z
      .string()
      .regex(/^[\w-]+=*$/, 'expected base64url')
      .refine(bytesOf(PUSH_SECRET_BYTES), `expected ${PUSH_SECRET_BYTES} bytes in base64url`),
  }),
});

export interface PushAddress {
  readonly endpoint: string;
  readonly keys: { readonly p256dh: string; readonly auth: string };
}

/** Where mail goes; at most 254 characters. Source: RFC 5321, section 4.5.3.1.3. */
export const mailAddressSchema: z.ZodType<MailAddress> = z.object({
  to: z
    .email({ error: 'expected one address, name@host' })
    .max(254, { error: 'expected at most 254 characters' }),
});

export interface MailAddress {
  readonly to: string;
}

/** A gateway that is called, and the secret it knows ours by: `whsec_` and base64. */
export const webhookAddressSchema: z.ZodType<WebhookAddress> = z.object(
  {
    url: callable,
    secret: z
      .string({ error: 'expected whsec_ and base64' })
      .regex(/^whsec_[A-Za-z0-9+/]+={0,2}$/, 'expected whsec_ and base64')
      .refine(
        isLongEnough,
        `expected ${SECRET_BYTES.least} to ${SECRET_BYTES.most} bytes after whsec_`,
      ),
  },
  { error: 'expected url and secret' },
);

export interface WebhookAddress {
  readonly url: string;
  readonly secret: string;
}

function isLongEnough(secret: string): boolean {
  const { length } = Buffer.from(secret.slice('whsec_'.length), 'base64');
  return length >= SECRET_BYTES.least && length <= SECRET_BYTES.most;
}

const SCHEMAS: Readonly<Record<ChannelKind, z.ZodType>> = {
  'web-push': pushAddressSchema,
  'e-mail': mailAddressSchema,
  webhook: webhookAddressSchema,
};

/** What is wrong with an address, without the address itself (it is a secret); null when nothing. */
export function mistakeInAddress(channel: ChannelKind, address: unknown): string | null {
  const read = SCHEMAS[channel].safeParse(address);
  return read.success ? null : mistakeWords(channel, read.error);
}

/** Words for a failed reading; they hold no part of the address. */
export function mistakeWords(channel: ChannelKind, error: z.ZodError): string {
  const [first] = error.issues;
  const where = first?.path.map(String).join('.') || 'address';
  return `the stored ${channel} address is wrong at ${where}: ${first?.message ?? 'unreadable'}`;
}
