import { parseMailSender, parseMailServer, parseNetworks } from '@lineside/alerting';
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
}

type AlertingSettingName =
  | 'LINESIDE_ROTA'
  | 'LINESIDE_CONTACTS'
  | 'LINESIDE_SMTP_URL'
  | 'LINESIDE_MAIL_FROM'
  | 'LINESIDE_VAPID_SUBJECT'
  | 'LINESIDE_WEBHOOK_ALLOW';

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
