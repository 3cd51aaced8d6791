import { createConnection, type Socket } from 'node:net';
import nodemailer, { type SendMailOptions } from 'nodemailer';
import type { Channel, HandedOver } from './channel.ts';
import { mailAddressSchema, mistakeWords } from './contact-address.ts';
import { mailMessage } from './mail-message.ts';
import type { MailSender, MailServer } from './mail-server.ts';
import { TRY_TIMEOUT_MS } from './post-outside.ts';
import { outcomeOfMailFailure } from './smtp-outcome.ts';

export interface MailSettings {
  /** Chosen by whoever runs this, so it may well be inside. */
  readonly server: MailServer;
  readonly from: MailSender;
  readonly timeoutMs?: number;
}

/** Mail by SMTP (RFC 5321), a connection for each. */
export function createMailChannel(settings: MailSettings): Channel {
  const { server, from, timeoutMs = TRY_TIMEOUT_MS } = settings;
  const open = new Set<Socket>();
  const door = `${server.host}:${server.port}`;
  return {
    kind: 'e-mail',
    doorOf: () => door,
    async handOver(address, message) {
      const read = mailAddressSchema.safeParse(address);
      if (!read.success) return { outcome: 'refused', reason: mistakeWords('e-mail', read.error) };
      const mail = mailMessage(message, from, read.data.to);
      const socket = createConnection({ host: server.host, port: server.port });
      open.add(socket);
      try {
        return await sendWithin(timeoutMs, socket, server, mail);
      } finally {
        socket.destroy();
        open.delete(socket);
      }
    },
    close: async () => {
      for (const socket of open) socket.destroy();
    },
  };
}

/** Ends in time because the socket is ours: destroyed, nothing of the try goes on behind us. */
async function sendWithin(
  timeoutMs: number,
  socket: Socket,
  server: MailServer,
  mail: SendMailOptions,
): Promise<HandedOver> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<HandedOver>((resolve) => {
    const reason = `no answer from the mail server within ${timeoutMs} ms`;
    timer = setTimeout(
      () => resolve({ outcome: 'failed', reason, retryAfterMs: null, isChannelDown: true }),
      timeoutMs,
    );
  });
  try {
    return await Promise.race([late, send(socket, server, mail)]);
  } finally {
    clearTimeout(timer);
  }
}

async function send(
  socket: Socket,
  { host, port, isTlsFromStart, signIn }: MailServer,
  mail: SendMailOptions,
): Promise<HandedOver> {
  try {
    await connected(socket);
    const transport = nodemailer.createTransport({
      host,
      port,
      secure: isTlsFromStart,
      // A password goes over nothing that can be read, but to this very machine.
      requireTLS: signIn !== null && !isThisMachine(host),
      ...(signIn === null ? {} : { auth: { user: signIn.user, pass: signIn.password } }),
      getSocket: (_options: unknown, callback: (error: null, found: object) => void) =>
        callback(null, { connection: socket }),
    });
    await transport.sendMail(mail);
    return { outcome: 'handed-over' };
  } catch (error) {
    return outcomeOfMailFailure(error);
  }
}

function connected(socket: Socket): Promise<void> {
  return new Promise((resolve, reject) => {
    socket.once('connect', resolve);
    socket.once('error', reject);
    // Left in place: a socket that breaks after the mail is through must not end the process.
    socket.on('error', () => {});
    socket.once('close', () => reject(new Error('closed')));
  });
}

function isThisMachine(host: string): boolean {
  return host === 'localhost' || host === '::1' || /^127\./.test(host);
}
