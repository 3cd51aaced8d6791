import type { AddressInfo } from 'node:net';
import { type ParsedMail, simpleParser } from 'mailparser';
import { SMTPServer } from 'smtp-server';
import { createMailChannel } from '../../src/channels/e-mail-channel.ts';
import type { Answering, Counterpart, Received } from './counterpart.ts';

export interface MailHost extends Counterpart {
  readonly mails: readonly {
    readonly mail: ParsedMail;
    readonly raw: string;
    readonly to: string[];
  }[];
}

class Refusal extends Error {
  readonly responseCode: number;
  constructor(responseCode: number, words: string) {
    super(words);
    this.responseCode = responseCode;
  }
}

const PASSWORD = 'p4ss-of-mail';

/** An SMTP server, and a parser that reads what it took. */
export async function startMailHost(
  timeoutMs: number,
  password: string = PASSWORD,
): Promise<MailHost> {
  let answering: Answering = 'accepts';
  const received: Received[] = [];
  const mails: { mail: ParsedMail; raw: string; to: string[] }[] = [];
  const server = new SMTPServer({
    disabledCommands: ['STARTTLS'],
    allowInsecureAuth: true,
    onAuth: ({ username, password }, _session, done) => {
      if (username === 'roofs' && password === PASSWORD) done(null, { user: username });
      else done(new Refusal(535, 'wrong password'));
    },
    onConnect: (_session, done) => {
      if (answering !== 'hangs') done();
    },
    onRcptTo: (_address, _session, done) => {
      if (answering === 'is-busy') done(new Refusal(450, 'later'));
      else if (answering === 'refuses') done(new Refusal(550, 'no such mailbox'));
      else done();
    },
    onData: (stream, session, done) => {
      const chunks: Buffer[] = [];
      stream.on('data', (chunk: Buffer) => chunks.push(chunk));
      stream.on('end', async () => {
        if (answering === 'is-broken') return done(new Refusal(451, 'disk full'));
        const raw = Buffer.concat(chunks).toString('latin1');
        const mail = await simpleParser(Buffer.concat(chunks));
        mails.push({ mail, raw, to: session.envelope.rcptTo.map(({ address }) => address) });
        received.push(readMail(mail));
        done();
      });
    },
  });
  server.on('error', () => {});
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', () => resolve()));
  const { port } = server.server.address() as AddressInfo;
  const close = (): Promise<void> => new Promise((resolve) => server.close(() => resolve()));
  return {
    channel: createMailChannel({
      server: {
        host: '127.0.0.1',
        port,
        isTlsFromStart: false,
        signIn: { user: 'roofs', password },
      },
      from: { name: 'Lineside', address: 'alarms@lineside.example' },
      timeoutMs,
    }),
    address: { to: 'ana@example.net' },
    received,
    mails,
    secrets: [PASSWORD],
    busyForMs: null,
    knowsGone: false,
    answer: (how) => {
      answering = how;
    },
    goDown: close,
    close,
  };
}

function readMail(mail: ParsedMail): Received {
  const text = mail.text ?? '';
  const url = /Open the page:\n(\S+)/.exec(text)?.[1] ?? null;
  return {
    pageKey: [mail.references ?? []].flat().join(' '),
    tryKey: mail.messageId ?? '',
    title: mail.subject ?? '',
    body: text.split('\n\n')[1] ?? '',
    url,
  };
}
