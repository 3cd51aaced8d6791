import { CHANNEL_KINDS, type ChannelKind } from '@lineside/storage';
import { z } from 'zod';
import { timeText } from './time-fields.ts';

export interface ContactPointJson {
  readonly id: string;
  readonly channel: ChannelKind;
  readonly name: string;
  readonly origin: 'file' | 'device';
  readonly since: string;
}

export const contactPointSchema: z.ZodType<ContactPointJson> = z
  .object({
    id: z.string(),
    channel: z.enum(CHANNEL_KINDS),
    name: z.string(),
    origin: z.enum(['file', 'device']).describe('A file that was applied, or a device of yours.'),
    since: timeText,
  })
  .meta({ id: 'ContactPoint' });

export const contactPointsSchema: z.ZodType<{ readonly items: readonly ContactPointJson[] }> = z
  .object({ items: z.array(contactPointSchema).describe('Each page goes to all of them.') })
  .meta({ id: 'ContactPoints' });

const ENDPOINT_MOST_CHARACTERS = 2048;
const ENDPOINT_RULE = 'must be an https address of a push service';
const P256DH_RULE = 'must be a P-256 public key, 65 bytes in base64url';
const AUTH_RULE = 'must be 16 bytes in base64url';
const NAME_MOST_CHARACTERS = 60;
const NAME_RULE = `must be one line of 1 to ${NAME_MOST_CHARACTERS} characters`;

function isHttpsAddress(text: string): boolean {
  if (!URL.canParse(text)) return false;
  const { protocol, username, password } = new URL(text);
  return protocol === 'https:' && username === '' && password === '';
}

export interface DeviceBody {
  readonly name?: string | undefined;
  readonly subscription: {
    readonly endpoint: string;
    readonly keys: { readonly p256dh: string; readonly auth: string };
  };
  readonly replaces?: string | undefined;
}

const endpoint = z
  .string({ error: ENDPOINT_RULE })
  .max(ENDPOINT_MOST_CHARACTERS, { error: ENDPOINT_RULE })
  .refine(isHttpsAddress, { error: ENDPOINT_RULE });

/** A push subscription as a browser gives it (W3C Push API, `PushSubscription.toJSON`). */
export const deviceBody: z.ZodType<DeviceBody> = z
  .object({
    name: z
      .string({ error: NAME_RULE })
      .trim()
      .min(1, { error: NAME_RULE })
      .max(NAME_MOST_CHARACTERS, { error: NAME_RULE })
      .regex(/^\P{C}+$/u, { error: NAME_RULE })
      .optional()
      .describe('What you know the device by; absent: as the one that it replaces.'),
    subscription: z.object({
      endpoint,
      keys: z.object({
        p256dh: z.string().regex(/^B[A-Za-z0-9_-]{86}=?$/, { error: P256DH_RULE }),
        auth: z.string().regex(/^[A-Za-z0-9_-]{22}(==)?$/, { error: AUTH_RULE }),
      }),
    }),
    replaces: endpoint
      .optional()
      .describe('Endpoint of the subscription that the browser had before.'),
  })
  .meta({ id: 'PushDevice' });

export interface ContactPointParams {
  readonly id: string;
}

export const contactPointParams: z.ZodType<ContactPointParams> = z.object({ id: z.string() });

export const pushKeySchema: z.ZodType<{ readonly publicKey: string | null }> = z
  .object({
    publicKey: z
      .string()
      .nullable()
      .describe('For `applicationServerKey` (VAPID, RFC 8292); null: this server sends no push.'),
  })
  .meta({ id: 'PushKey' });
