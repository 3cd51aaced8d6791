import {
  mistakeInAddress,
  parseMailSender,
  parseMailServer,
  parseNetworks,
} from '@lineside/alerting';
import { CommandFailure, EXIT } from './failure.ts';

/** How pages reach people. */
export interface AlertingSettings {
  /** Null: the stored rota holds. */
  readonly rotaFile: string | null;
  /** Null: the stored contact points hold. */
  readonly contactsFile: string | null;
  /** Null: no e-mail. */
  readonly mail: {
    /** With a password, so never logged. */
    readonly smtpUrl: string;
    readonly from: string;
  } | null;
  /** `mailto:` or `https:`; null: no web push. */
  readonly vapidSubject: string | null;
  /** Networks inside that may be called: CIDR notation. */
  readonly allowedNetworks: readonly string[];
  /** How long a server that crashed has for coming back before anybody is told. */
  readonly crashGraceMs: number;
  /** Null: no ping. */
  readonly ping: {
    readonly url: string;
    /** `whsec_` and base64, never logged. */
    readonly secret: string;
    readonly everyMs: number;
  } | null;
}

type AlertingSettingName =
  | 'LINESIDE_ROTA'
  | 'LINESIDE_CONTACTS'
  | 'LINESIDE_SMTP_URL'
  | 'LINESIDE_MAIL_FROM'
  | 'LINESIDE_VAPID_SUBJECT'
  | 'LINESIDE_WEBHOOK_ALLOW'
  | 'LINESIDE_CRASH_GRACE_SECONDS'
  | 'LINESIDE_PING_URL'
  | 'LINESIDE_PING_SECRET'
  | 'LINESIDE_PING_MINUTES';

/** A minute: supervisors start a server again within seconds, a machine within a minute. */
const CRASH_GRACE_SECONDS = { least: 1, most: 3600, usual: 60 };

/** Five minutes: soon enough for a night, and no load. Common practice, no source. */
const PING_MINUTES = { least: 1, most: 1440, usual: 5 };

type TextOf = (name: AlertingSettingName) => string | null;

/** Throws `CommandFailure` that names the first wrong one, and quotes no password. */
export function readAlertingSettings(textOf: TextOf, publicUrl: string | null): AlertingSettings {
  const mail = mailSettings(textOf);
  return {
    rotaFile: textOf('LINESIDE_ROTA'),
    contactsFile: textOf('LINESIDE_CONTACTS'),
    mail,
    vapidSubject: vapidSubject(textOf('LINESIDE_VAPID_SUBJECT'), mail?.from ?? null, publicUrl),
    allowedNetworks: allowedNetworks(textOf('LINESIDE_WEBHOOK_ALLOW')),
    crashGraceMs: wholeNumber(textOf, 'LINESIDE_CRASH_GRACE_SECONDS', CRASH_GRACE_SECONDS) * 1000,
    ping: pingSettings(textOf),
  };
}

function mailSettings(textOf: TextOf): AlertingSettings['mail'] {
  const smtpUrl = textOf('LINESIDE_SMTP_URL');
  const from = textOf('LINESIDE_MAIL_FROM');
  if (smtpUrl === null && from === null) return null;
  if (smtpUrl === null || from === null) {
    throw new CommandFailure(
      EXIT.badInput,
      'e-mail needs both LINESIDE_SMTP_URL and LINESIDE_MAIL_FROM',
    );
  }
  readable('LINESIDE_SMTP_URL', () => parseMailServer(smtpUrl));
  readable('LINESIDE_MAIL_FROM', () => parseMailSender(from));
  return { smtpUrl, from };
}

function vapidSubject(
  text: string | null,
  mailFrom: string | null,
  publicUrl: string | null,
): string | null {
  if (text === null) {
    if (mailFrom !== null) return `mailto:${parseMailSender(mailFrom).address}`;
    return publicUrl?.startsWith('https:') ? publicUrl : null;
  }
  const { protocol } = URL.canParse(text) ? new URL(text) : { protocol: '' };
  if (protocol === 'mailto:' || protocol === 'https:') return text;
  throw new CommandFailure(
    EXIT.badInput,
    `LINESIDE_VAPID_SUBJECT: expected mailto:name@host or an https address, found '${text}'`,
  );
}

function pingSettings(textOf: TextOf): AlertingSettings['ping'] {
  const url = textOf('LINESIDE_PING_URL');
  const secret = textOf('LINESIDE_PING_SECRET');
  const everyMs = wholeNumber(textOf, 'LINESIDE_PING_MINUTES', PING_MINUTES) * 60_000;
  if (url === null && secret === null) return null;
  if (url === null || secret === null) {
    throw new CommandFailure(
      EXIT.badInput,
      'the ping needs both LINESIDE_PING_URL and LINESIDE_PING_SECRET',
    );
  }
  const mistake = mistakeInAddress('webhook', { url, secret });
  if (mistake === null) return { url, secret, everyMs };
  const words = mistake.replace('the stored webhook address', 'address and secret of the ping');
  throw new CommandFailure(EXIT.badInput, `LINESIDE_PING_URL: ${words}`);
}

function wholeNumber(
  textOf: TextOf,
  name: AlertingSettingName,
  { least, most, usual }: { least: number; most: number; usual: number },
): number {
  const text = textOf(name);
  const value = text === null ? usual : Number(text);
  if (Number.isInteger(value) && value >= least && value <= most) return value;
  throw new CommandFailure(
    EXIT.badInput,
    `${name}: expected a whole number from ${least} to ${most}, found '${text}'`,
  );
}

function allowedNetworks(text: string | null): readonly string[] {
  const networks = (text ?? '').split(',').flatMap((one) => one.trim() || []);
  readable('LINESIDE_WEBHOOK_ALLOW', () => parseNetworks(networks));
  return networks;
}

function readable(name: AlertingSettingName, read: () => unknown): void {
  try {
    read();
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new CommandFailure(EXIT.badInput, `${name}: ${error.message}`);
  }
}
