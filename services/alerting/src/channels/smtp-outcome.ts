import type { HandedOver } from './channel.ts';

/** What nodemailer says of a failure beside the words. */
interface MailFailure {
  readonly responseCode?: number;
  readonly command?: string;
}

/** Commands whose answer is about this mail; any other is about the server or our sign-in. */
const ABOUT_THE_MAIL: readonly string[] = ['RCPT TO', 'DATA'];

/**
 * What a failed mail means. Only a permanent answer (5yz, RFC 5321 section 4.2.1) to the recipient
 * or to the content refuses for good: a wrong password or sender is for whoever runs this to put
 * right, and the mail waits for it.
 */
export function outcomeOfMailFailure(error: unknown): HandedOver {
  const { responseCode, command } = failureOf(error);
  if (responseCode === undefined) {
    const reason = `no answer from the mail server: ${codeOf(error)}`;
    return { outcome: 'failed', reason, retryAfterMs: null, isChannelDown: true };
  }
  const isAboutTheMail = ABOUT_THE_MAIL.includes(command ?? '');
  const reason = `the mail server answered ${responseCode} to ${command ?? 'us'}`;
  if (responseCode >= 500 && isAboutTheMail) return { outcome: 'refused', reason };
  return { outcome: 'failed', reason, retryAfterMs: null, isChannelDown: !isAboutTheMail };
}

function failureOf(error: unknown): MailFailure {
  if (!(error instanceof Error)) return {};
  const code = 'responseCode' in error ? error.responseCode : undefined;
  const command = 'command' in error ? error.command : undefined;
  return {
    ...(typeof code === 'number' && code >= 200 ? { responseCode: code } : {}),
    ...(typeof command === 'string' ? { command } : {}),
  };
}

function codeOf(error: unknown): string {
  if (!(error instanceof Error)) return 'unknown';
  return 'code' in error && typeof error.code === 'string' ? error.code : error.name;
}
