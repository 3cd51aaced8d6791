/** Mosquitto as `lineside broker files` configures it, over TLS and with client certificates. */

import { once } from 'node:events';
import { copyFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { connect as connectTls } from 'node:tls';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  BROKER_AUTHORITY,
  BROKER_CERTIFICATE,
  BROKER_KEY,
  FIRST_NODE_CERTIFICATE,
  FIRST_NODE_KEY,
  NOTHING_REVOKED,
  SECOND_NODE_CERTIFICATE,
  SECOND_NODE_KEY,
  SECOND_NODE_REVOKED,
} from '../contracts/broker-certificates.ts';
import { HAS_MOSQUITTO } from '../contracts/mosquitto-server.ts';
import { type BrokerPlace, heardBy, type SignIn, startBrokerPlace } from './broker-place.ts';
import { eventually } from './eventually.ts';

const ca = BROKER_AUTHORITY;
const FIRST = { ca, cert: FIRST_NODE_CERTIFICATE, key: FIRST_NODE_KEY };
const SECOND = { ca, cert: SECOND_NODE_CERTIFICATE, key: SECOND_NODE_KEY };
const FIRST_TOPIC = 'lineside/harbour-mall/rtu-01/telemetry';
const SECOND_TOPIC = 'lineside/harbour-mall/rtu-02/telemetry';
const REFUSED = /[Nn]ot authorized|Bad username/;

const FILES = {
  'ca.pem': BROKER_AUTHORITY,
  'server.pem': BROKER_CERTIFICATE,
  'server.key': BROKER_KEY,
  'revoked.pem': NOTHING_REVOKED,
  'later-revoked.pem': SECOND_NODE_REVOKED,
};

describe.skipIf(!HAS_MOSQUITTO)('Mosquitto over TLS (needs Debian package mosquitto)', () => {
  let here: BrokerPlace;
  let password: SignIn;
  let given: string;

  beforeAll(async () => {
    here = await startBrokerPlace(
      ({ clientPort, folder }) => {
        given = folder;
        return [
          ...['--tls-cert', join(folder, 'server.pem'), '--tls-key', join(folder, 'server.key')],
          ...['--client-ca', join(folder, 'ca.pem'), '--crl', join(folder, 'revoked.pem')],
          ...['--client-listen', `127.0.0.1:${clientPort}`],
        ];
      },
      async ({ node }) => {
        password = await node('harbour-mall', 'rtu-01');
      },
      FILES,
    );
  });
  afterAll(() => here.stop());

  const heardByUs = async (): Promise<readonly string[]> => {
    const ours = await here.house();
    await ours.subscribeAsync('lineside/#', { qos: 1 });
    return heardBy(ours);
  };

  it('takes passwords over TLS, and no connection in the clear', async () => {
    const node = await here.connect({ ca, ...password });
    const heard = await heardByUs();
    await node.publishAsync(FIRST_TOPIC, 'own', { qos: 1 });
    await eventually(
      async () => heard.length,
      (count) => count >= 1,
    );
    await expect(here.connect(password, here.mosquitto.port, 'mqtt')).rejects.toThrow(
      /closed|RESET/,
    );
    await expect(here.connect({ ca, ...password, password: 'wrong' })).rejects.toThrow(REFUSED);
  });

  it('takes the common name of a certificate as the user, with that name alone', async () => {
    const heard = await heardByUs();
    const node = await here.connect(SECOND, here.clientPort);
    await node.publishAsync(FIRST_TOPIC, 'foreign', { qos: 1 });
    await node.publishAsync(SECOND_TOPIC, 'own', { qos: 1 });
    await eventually(
      async () => heard.length,
      (count) => count >= 1,
    );
    expect(heard).toEqual([`${SECOND_TOPIC} own`]);
  });

  it('asks for a certificate there, and takes no password instead', async () => {
    await expect(here.connect({ ca, ...password }, here.clientPort)).rejects.toThrow();
  });

  it('gives a revoked unit no say any more, though its connection and certificate stand', async () => {
    const heard = await heardByUs();
    const node = await here.connect(SECOND, here.clientPort);
    await here.run(['node', 'revoke', 'harbour-mall', 'rtu-02']);
    await here.filesAndReload();
    const first = await here.connect(FIRST, here.clientPort);
    await eventually(
      async () => {
        await node.publishAsync(SECOND_TOPIC, 'revoked', { qos: 1 });
        await first.publishAsync(FIRST_TOPIC, 'mark', { qos: 1 });
        return heard.slice(-2);
      },
      (last) => last.length === 2 && last.every((one) => one.endsWith('mark')),
    );
    expect(node.connected).toBe(true);
  });

  it('refuses the next connection of a certificate that its authority revoked', async () => {
    const standing = await here.connect(SECOND, here.clientPort);
    copyFileSync(join(given, 'later-revoked.pem'), join(given, 'revoked.pem'));
    await reloaded(here);
    // Mosquitto 2.0.11 leaves what stands; its access rules are what takes its say away.
    expect(standing.connected).toBe(true);
    await expect(here.connect(SECOND, here.clientPort)).rejects.toThrow();
    expect(standing.connected).toBe(true);
    await here.connect(FIRST, here.clientPort);
  });

  it('shows its new certificate after SIGHUP, and keeps who is connected', async () => {
    const node = await here.connect({ ca, ...password });
    expect(await shownName(here.mosquitto.port)).toBe('localhost');
    writeFileSync(join(given, 'server.pem'), FIRST_NODE_CERTIFICATE);
    writeFileSync(join(given, 'server.key'), FIRST_NODE_KEY);
    await reloaded(here);
    expect(await shownName(here.mosquitto.port)).toBe('harbour-mall/rtu-01');
    expect(node.connected).toBe(true);
  });
});

/** SIGHUP, until Mosquitto says that it reads. */
async function reloaded({ mosquitto }: BrokerPlace): Promise<void> {
  const reloads = (log: string): number => log.split('Reloading config').length;
  const before = reloads(mosquitto.log());
  mosquitto.reload();
  await eventually(
    async () => reloads(mosquitto.log()),
    (count) => count > before,
  );
}

/** The common name of the certificate that is shown at a port. */
async function shownName(port: number): Promise<string> {
  const socket = connectTls({ host: '127.0.0.1', port, rejectUnauthorized: false });
  await once(socket, 'secureConnect');
  const name = socket.getPeerCertificate().subject.CN;
  socket.destroy();
  return String(name);
}
