import type { AddressInfo } from 'node:net';
import { SMTPServer, type SMTPServerOptions } from 'smtp-server';
import { afterEach, expect, it } from 'vitest';
import { SERVER_CERTIFICATE, SERVER_KEY } from '../../ingest/test/stand-ins/test-certificates.ts';
import type { HandedOver } from '../src/channels/channel.ts';
import { createMailChannel } from '../src/channels/e-mail-channel.ts';
import { sampleMessage } from './sample-message.ts';

const FAILED = { outcome: 'failed', isChannelDown: true };

let server: SMTPServer | null = null;
let signIns = 0;

afterEach(async () => {
  await new Promise<void>((resolve) => (server === null ? resolve() : server.close(resolve)));
  server = null;
  signIns = 0;
});

async function send(
  options: SMTPServerOptions,
  host: string,
  isTlsFromStart = false,
): Promise<HandedOver> {
  server = new SMTPServer({
    ...options,
    onAuth: (_auth, _session, done) => {
      signIns += 1;
      done(null, { user: 'roofs' });
    },
  });
  server.on('error', () => {});
  await new Promise<void>((resolve) => server?.listen(0, '127.0.0.1', () => resolve()));
  const { port } = server.server.address() as AddressInfo;
  const channel = createMailChannel({
    server: { host, port, isTlsFromStart, signIn: { user: 'roofs', password: 'p4ss' } },
    from: { name: '', address: 'alarms@lineside.example' },
  });
  return await channel.handOver({ to: 'ana@example.net' }, sampleMessage());
}

const CERTIFIED = { key: SERVER_KEY, cert: SERVER_CERTIFICATE };

it('tells no password to a server whose certificate nobody vouches for', async () => {
  expect(await send(CERTIFIED, '127.0.0.1')).toMatchObject(FAILED);
  expect(signIns).toBe(0);
});

it('tells no password to such a server that speaks TLS from the start', async () => {
  expect(await send({ ...CERTIFIED, secure: true }, '127.0.0.1', true)).toMatchObject(FAILED);
  expect(signIns).toBe(0);
});

it('tells no password to another machine without TLS, but to this one', async () => {
  const plain = { disabledCommands: ['STARTTLS'], allowInsecureAuth: true };
  // Reaches this machine too, by an address that does not say so.
  expect(await send(plain, '0.0.0.0')).toMatchObject(FAILED);
  expect(signIns).toBe(0);
  server?.close();
  expect(await send(plain, '127.0.0.1')).toEqual({ outcome: 'handed-over' });
  expect(signIns).toBe(1);
});
