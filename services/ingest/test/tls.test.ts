import { connect as connectSocket } from 'node:net';
import { describe, expect, it } from 'vitest';
import { eventually } from './stand-ins/eventually.ts';
import { MemoryRecords } from './stand-ins/memory-records.ts';
import { MemoryTelemetry } from './stand-ins/memory-telemetry.ts';
import { NOW_MS, nodeSignIn, pack, runIngest, tokenSignIn } from './stand-ins/running-ingest.ts';
import {
  AUTHORITY_CERTIFICATE,
  FOREIGN_CERTIFICATE,
  FOREIGN_KEY,
  NODE_CERTIFICATE,
  NODE_KEY,
  SERVER_CERTIFICATE,
  SERVER_KEY,
} from './stand-ins/test-certificates.ts';

const TOPIC = 'lineside/harbour-mall/rtu-01/telemetry';
const ca = AUTHORITY_CERTIFICATE;

async function runWithTls(clientCa: string | null) {
  const records = new MemoryRecords();
  const telemetry = new MemoryTelemetry();
  const tls = { certificate: SERVER_CERTIFICATE, key: SERVER_KEY, clientCa };
  return { ...(await runIngest({ records, telemetry, tls })), records, telemetry };
}

describe('over TLS', () => {
  it('takes readings of a node that signs in with its password', async () => {
    const run = await runWithTls(null);
    const node = await run.connect({ ca, ...nodeSignIn(run.records, 'harbour-mall', 'rtu-01') });
    await node.publishAsync(TOPIC, pack(NOW_MS, 0.002), { qos: 1 });
    expect(run.telemetry.stored.size).toBe(1);
  });

  it('closes the connection on an oversize packet here as well', async () => {
    const run = await runWithTls(null);
    const node = await run.connect({ ca, ...nodeSignIn(run.records, 'harbour-mall', 'rtu-01') });
    const over = new Promise<void>((resolve) => node.once('close', () => resolve()));
    node.publish(TOPIC, Buffer.alloc(1024 * 1024 + 4096), { qos: 1 });
    await over;
    await eventually(() =>
      expect(run.records.quarantinedEntries).toMatchObject([
        { topic: TOPIC, code: 'message-too-large' },
      ]),
    );
  });

  it('survives a connection that does not speak TLS', async () => {
    const run = await runWithTls(null);
    const socket = connectSocket(run.ingest.mqttPort, '127.0.0.1');
    socket.on('error', () => {});
    socket.resume();
    socket.write('this is no handshake, it is a line of text\n');
    await new Promise((resolve) => socket.once('close', resolve));
    await run.connect({ ca, ...nodeSignIn(run.records, 'harbour-mall', 'rtu-01') });
  });
});

describe('client certificates', () => {
  it('take their common name as the identity of the node', async () => {
    const run = await runWithTls(AUTHORITY_CERTIFICATE);
    const node = await run.connect({ ca, cert: NODE_CERTIFICATE, key: NODE_KEY });
    await node.publishAsync(TOPIC, pack(NOW_MS, 0.002), { qos: 1 });
    await node.publishAsync('lineside/harbour-mall/rtu-02/telemetry', '[]', { qos: 1 });
    expect([...run.telemetry.stored.keys()]).toEqual([`harbour-mall/rtu-01/${NOW_MS}`]);
    expect(run.records.quarantinedEntries.map(({ code }) => code)).toEqual(['topic-not-allowed']);
  });

  it('are taken no more from a unit that was revoked, until it has a new password', async () => {
    const run = await runWithTls(AUTHORITY_CERTIFICATE);
    const certified = { ca, cert: NODE_CERTIFICATE, key: NODE_KEY };
    const standing = await run.connect(certified);
    const over = new Promise<void>((resolve) => standing.once('close', () => resolve()));
    await run.records.revokeNode({ site: 'harbour-mall', unit: 'rtu-01' }, NOW_MS);
    await over;
    await expect(run.connect(certified)).rejects.toThrow(/Connection refused/);
    nodeSignIn(run.records, 'harbour-mall', 'rtu-01');
    await run.connect(certified);
  });

  it('of another authority are refused, even with the right password beside them', async () => {
    const run = await runWithTls(AUTHORITY_CERTIFICATE);
    const signIn = nodeSignIn(run.records, 'harbour-mall', 'rtu-01');
    const attempt = run.connect({ ca, cert: FOREIGN_CERTIFICATE, key: FOREIGN_KEY, ...signIn });
    await expect(attempt).rejects.toThrow(/Connection refused/);
  });

  it('are not asked of a program that signs in with a token', async () => {
    const run = await runWithTls(AUTHORITY_CERTIFICATE);
    const reader = await run.connect({ ca, ...tokenSignIn(run.records, 'office') });
    await reader.subscribeAsync('lineside/+/+/alarm/+');
  });

  it('mean nothing without an authority that the server was given', async () => {
    const run = await runWithTls(null);
    const attempt = run.connect({ ca, cert: NODE_CERTIFICATE, key: NODE_KEY });
    await expect(attempt).rejects.toThrow(/Connection refused/);
  });
});
