import { createHash } from 'node:crypto';
import type { SendMailOptions } from 'nodemailer';
import type { PageMessage } from './channel.ts';
import { mailHtml } from './mail-html.ts';
import type { MailSender } from './mail-server.ts';
import { plainLine, plainText, withinBytes } from './plain-text.ts';

/** Longest subject; a line of a header has at most 998 bytes (RFC 5322, section 2.1.1). */
const SUBJECT_MOST_BYTES = 200;

/** A page with thousands of alarms in one mail stays readable and within what servers take. */
const LINES_MOST = 300;
const LINE_MOST_BYTES = 512;

/** What a mail says, cleaned and cut. */
export interface MailWords {
  readonly title: string;
  readonly body: string;
  readonly lines: readonly string[];
  readonly url: string | null;
}

/**
 * The mail of a page. Its Message-ID is the same however often a revision is tried; all revisions
 * refer to one that stands for the page, so that mail programs show them together.
 */
export function mailMessage(message: PageMessage, from: MailSender, to: string): SendMailOptions {
  const words = mailWords(message);
  const host = from.address.slice(from.address.lastIndexOf('@') + 1);
  const page = `<${leftOfMessageId(message.id)}@${host}>`;
  return {
    from: { name: from.name, address: from.address },
    to: { name: '', address: to },
    // Taken apart, or a reader would decode what only looks like an encoded word (RFC 2047).
    subject: words.title.replaceAll('=?', '= ?'),
    text: mailText(words),
    html: mailHtml(words, message.priority),
    messageId: `<${leftOfMessageId(revisionKey(message))}@${host}>`,
    references: page,
    inReplyTo: page,
    date: new Date(message.createdAtMs),
    priority: message.priority === 'routine' ? 'normal' : 'high',
    // Nobody's absence notice answers a page (RFC 3834).
    headers: { 'Auto-Submitted': 'auto-generated' },
    disableFileAccess: true,
    disableUrlAccess: true,
  };
}

/** Page, revision and contact point; an id that begins with its page does not say it twice. */
function revisionKey({ pageKey, revision, id }: PageMessage): string {
  const contact = id.startsWith(`${pageKey}.`) ? id.slice(pageKey.length + 1) : id;
  return `${pageKey}.${revision}.${contact}`;
}

function mailWords(message: PageMessage): MailWords {
  const more = message.lines.length - LINES_MOST;
  const lines = message.lines
    .slice(0, LINES_MOST)
    .map((line) => withinBytes(plainLine(line), LINE_MOST_BYTES));
  return {
    title: withinBytes(plainLine(message.title), SUBJECT_MOST_BYTES),
    body: withinBytes(plainText(message.body), 4 * LINE_MOST_BYTES),
    lines: more > 0 ? [...lines, `and ${more} more`] : lines,
    url: message.url,
  };
}

function mailText({ title, body, lines, url }: MailWords): string {
  const parts = [title, body, lines.map((line) => `- ${line}`).join('\n')];
  if (url !== null) parts.push(`Open the page:\n${url}`);
  return `${parts.filter((part) => part !== '').join('\n\n')}\n`;
}

/** Dots stand alone between atoms, and it fits a line (RFC 5322, section 3.2.3). */
const MESSAGE_ID_LEFT = /^(?=.{1,400}$)[A-Za-z0-9_-]+(?:\.[A-Za-z0-9_-]+)*$/;

function leftOfMessageId(text: string): string {
  return MESSAGE_ID_LEFT.test(text) ? text : createHash('sha256').update(text).digest('hex');
}
