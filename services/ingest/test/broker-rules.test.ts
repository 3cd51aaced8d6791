import { connect as connectSocket } from 'node:net';
import type { MqttClient } from 'mqtt';
import { generate } from 'mqtt-packet';
import { describe, expect, it } from 'vitest';
import { eventually } from './stand-ins/eventually.ts';
import { NOW_MS, nodeSignIn, pack, runInMemory, tokenSignIn } from './stand-ins/running-ingest.ts';

const TOPIC = 'lineside/harbour-mall/rtu-01/telemetry';

/** Resolves when the broker has ended the connection. */
function ended(client: MqttClient): Promise<void> {
  return new Promise((resolve) => client.once('close', () => resolve()));
}

describe('signing in', () => {
  it.each([
    ['nobody', {}],
    ['an unknown node', { username: 'harbour-mall/rtu-07', password: 'x' }],
    ['a node with a wrong password', { username: 'harbour-mall/rtu-01', password: 'wrong' }],
    ['a node without a password', { username: 'harbour-mall/rtu-01' }],
    ['an unknown token', { username: 'token', password: 'no such token' }],
  ])('refuses %s', async (_who, options) => {
    const run = await runInMemory();
    nodeSignIn(run.records, 'harbour-mall', 'rtu-01');
    await expect(run.connect(options)).rejects.toThrow(/Connection refused/);
  });

  it('counts a changed password from the next connection, and keeps the one that stands', async () => {
    const run = await runInMemory();
    const first = nodeSignIn(run.records, 'harbour-mall', 'rtu-01');
    const standing = await run.connect(first);
    const second = nodeSignIn(run.records, 'harbour-mall', 'rtu-01');
    await standing.publishAsync(TOPIC, pack(NOW_MS, 0.002), { qos: 1 });
    await expect(run.connect(first)).rejects.toThrow(/Connection refused/);
    await run.connect(second);
  });

  it('ends the connection of a node that was revoked, and no other', async () => {
    const run = await runInMemory();
    const signIn = nodeSignIn(run.records, 'harbour-mall', 'rtu-01');
    const revoked = await run.connect(signIn);
    const other = await run.node('harbour-mall', 'rtu-02');
    const reader = await run.connect(tokenSignIn(run.records, 'office'));
    const over = ended(revoked);
    await run.records.revokeNode({ site: 'harbour-mall', unit: 'rtu-01' }, NOW_MS);
    await expect(run.connect(signIn)).rejects.toThrow(/Connection refused/);
    await over;
    expect([other.connected, reader.connected]).toEqual([true, true]);
  });

  it('ends it also when a new password came at once, and keeps who has that one', async () => {
    const run = await runInMemory();
    const old = await run.node('harbour-mall', 'rtu-01');
    await run.records.revokeNode({ site: 'harbour-mall', unit: 'rtu-01' }, NOW_MS);
    const fresh = nodeSignIn(run.records, 'harbour-mall', 'rtu-01');
    await ended(old);
    const node = await run.connect(fresh);
    await node.publishAsync(TOPIC, pack(NOW_MS, 0.002), { qos: 1 });
    expect(node.connected).toBe(true);
  });

  it('does not let a node end the connection of another by taking its client id', async () => {
    const run = await runInMemory();
    const first = await run.node('harbour-mall', 'rtu-01', { clientId: 'same' });
    const second = await run.node('harbour-mall', 'rtu-02', { clientId: 'same' });
    await first.publishAsync(TOPIC, pack(NOW_MS, 0.002), { qos: 1 });
    expect([first.connected, second.connected]).toEqual([true, true]);
  });
});

describe('publishing', () => {
  it('acknowledges and quarantines what is not a topic of the sender', async () => {
    const run = await runInMemory();
    const node = await run.node('harbour-mall', 'rtu-01');
    const token = await run.connect(tokenSignIn(run.records, 'office'));
    const topics = [
      'lineside/harbour-mall/rtu-02/telemetry',
      'lineside/harbour-mall/rtu-01/alarm/leakage',
      '$SYS/anything',
    ];
    for (const topic of topics) {
      await node.publishAsync(topic, pack(NOW_MS, 0.002), { qos: 1 });
    }
    await token.publishAsync(TOPIC, pack(NOW_MS, 0.002), { qos: 1 });
    expect(run.records.quarantinedEntries.map(({ topic, code }) => [topic, code])).toEqual(
      [...topics, TOPIC].map((topic) => [topic, 'topic-not-allowed']),
    );
    expect(run.telemetry.stored.size).toBe(0);
  });

  it('hands nothing on that is not allowed, nor retains it', async () => {
    const run = await runInMemory();
    const node = await run.node('harbour-mall', 'rtu-01');
    const reader = await run.connect(tokenSignIn(run.records, 'office'));
    const received: string[] = [];
    reader.on('message', (topic) => received.push(topic));
    await reader.subscribeAsync('lineside/+/+/alarm/+', { qos: 1 });
    const topic = 'lineside/harbour-mall/rtu-01/alarm/leakage';
    await node.publishAsync(topic, 'forged', { qos: 1, retain: true });
    await reader.subscribeAsync('lineside/harbour-mall/+/alarm/+', { qos: 1 });
    // Answers come in order on one connection, so a message would have come before this one.
    await reader.publishAsync(topic, 'forged again', { qos: 1, retain: true });
    expect(received).toEqual([]);
  });

  it('closes the connection on an oversize packet and notes it in quarantine', async () => {
    const run = await runInMemory();
    const node = await run.node('harbour-mall', 'rtu-01');
    const over = ended(node);
    node.publish(TOPIC, Buffer.alloc(1024 * 1024 + 4096), { qos: 1 });
    await over;
    await eventually(() => expect(run.records.quarantinedEntries).toHaveLength(1));
    expect(run.records.quarantinedEntries[0]).toMatchObject({
      topic: TOPIC,
      code: 'message-too-large',
    });
  });
});

describe('subscribing', () => {
  it('gives tokens the alarm topics and nothing else', async () => {
    const run = await runInMemory();
    const reader = await run.connect(tokenSignIn(run.records, 'technician'));
    const granted = await reader.subscribeAsync({ 'lineside/+/+/alarm/+': { qos: 1 } });
    expect(granted.map(({ qos }) => qos)).toEqual([1]);
    await expect(reader.subscribeAsync('lineside/#')).rejects.toThrow();
    await expect(reader.subscribeAsync('$SYS/#')).rejects.toThrow();
  });

  it('gives nodes nothing', async () => {
    const run = await runInMemory();
    const node = await run.node('harbour-mall', 'rtu-01');
    await expect(node.subscribeAsync('lineside/harbour-mall/rtu-01/alarm/+')).rejects.toThrow();
  });
});

describe('presence', () => {
  it('keeps what a node says, and its last will when the connection breaks', async () => {
    const run = await runInMemory();
    const topic = 'lineside/harbour-mall/rtu-01/presence';
    const node = await run.node('harbour-mall', 'rtu-01', {
      will: { topic, payload: Buffer.from('offline'), qos: 1, retain: true },
    });
    await node.publishAsync(topic, 'online', { qos: 1, retain: true });
    expect(run.records.presenceByUnit.get('harbour-mall/rtu-01')).toMatchObject({ online: true });
    node.stream.destroy();
    await eventually(() =>
      expect(run.records.presenceByUnit.get('harbour-mall/rtu-01')).toMatchObject({
        online: false,
      }),
    );
  });

  it('quarantines a last will outside the topics of its node', async () => {
    const run = await runInMemory();
    const topic = 'lineside/harbour-mall/rtu-02/presence';
    const node = await run.node('harbour-mall', 'rtu-01', {
      will: { topic, payload: Buffer.from('offline'), qos: 1, retain: true },
    });
    node.stream.destroy();
    await eventually(() => expect(run.records.quarantinedEntries).toHaveLength(1));
    expect(run.records.quarantinedEntries[0]).toMatchObject({ topic, code: 'topic-not-allowed' });
    expect(run.records.presenceByUnit.size).toBe(0);
  });

  it('quarantines words that are neither online nor offline', async () => {
    const run = await runInMemory();
    const node = await run.node('harbour-mall', 'rtu-01');
    await node.publishAsync('lineside/harbour-mall/rtu-01/presence', 'hello', { qos: 1 });
    expect(run.records.quarantinedEntries.map(({ code }) => code)).toEqual(['presence-malformed']);
  });

  it('says offline for nobody when the server itself ends', async () => {
    const run = await runInMemory();
    const topic = 'lineside/harbour-mall/rtu-01/presence';
    const node = await run.node('harbour-mall', 'rtu-01', {
      will: { topic, payload: Buffer.from('offline'), qos: 1, retain: true },
    });
    await node.publishAsync(topic, 'online', { qos: 1, retain: true });
    await run.ingest.close();
    expect(run.records.presenceByUnit.get('harbour-mall/rtu-01')).toMatchObject({ online: true });
  });

  it('ends a connection whose keep-alive time passed', async () => {
    const run = await runInMemory();
    const { username, password } = nodeSignIn(run.records, 'harbour-mall', 'rtu-01');
    const socket = connectSocket(run.ingest.mqttPort, '127.0.0.1');
    const startedMs = performance.now();
    socket.resume();
    socket.write(
      generate({
        cmd: 'connect',
        clientId: 'quiet',
        clean: true,
        keepalive: 1,
        username,
        password: Buffer.from(password),
      }),
    );
    await new Promise((resolve) => socket.once('close', resolve));
    expect(performance.now() - startedMs).toBeGreaterThan(1_400);
  });
});
