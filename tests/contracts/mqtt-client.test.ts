/**
 * What the outside broker's client relies on and the pinned `mqtt` package does not promise: an
 * error in answer to a message of QoS 1 keeps the acknowledgement back and nothing else.
 */
import { once } from 'node:events';
import { type AddressInfo, createServer, type Socket } from 'node:net';
import { connect, type MqttClient } from 'mqtt';
import { generate, parser } from 'mqtt-packet';
import { afterEach, describe, expect, it } from 'vitest';

const WITHIN = { timeout: 15_000, interval: 5 };
const MESSAGES = 5;

describe.each([4, 5] as const)('the client library, protocol version %i', (protocolVersion) => {
  const ends: (() => void)[] = [];
  afterEach(() => {
    for (const end of ends.splice(0)) end();
  });

  /** A broker that lets everybody in, sends some messages of QoS 1 and collects what comes back. */
  async function connected(
    handle: (client: MqttClient) => MqttClient['handleMessage'],
  ): Promise<{ client: MqttClient; acknowledged: number[]; socket: () => Socket }> {
    const acknowledged: number[] = [];
    let socket: Socket | null = null;
    const server = createServer((near) => {
      socket = near;
      const read = parser({ protocolVersion });
      read.on('packet', (packet) => {
        if (packet.cmd === 'puback') acknowledged.push(packet.messageId ?? 0);
        if (packet.cmd !== 'connect') return;
        const connack = {
          cmd: 'connack',
          sessionPresent: false,
          returnCode: 0,
          reasonCode: 0,
        } as const;
        near.write(generate(connack, { protocolVersion }));
        for (let messageId = 1; messageId <= MESSAGES; messageId++) {
          const publish = { topic: 'a/b', payload: `${messageId}`, qos: 1, messageId } as const;
          const flags = { cmd: 'publish', dup: false, retain: false } as const;
          near.write(generate({ ...flags, ...publish }, { protocolVersion }));
        }
      });
      near.on('data', (bytes) => read.parse(bytes));
      near.on('error', () => {});
    }).listen(0, '127.0.0.1');
    await once(server, 'listening');
    const { port } = server.address() as AddressInfo;
    const client = connect(`mqtt://127.0.0.1:${port}`, {
      protocolVersion,
      manualConnect: true,
      reconnectPeriod: 0,
    });
    client.handleMessage = handle(client);
    client.on('error', (error) => {
      throw error;
    });
    client.connect();
    ends.push(
      () => client.end(true),
      () => server.close(),
    );
    return {
      client,
      acknowledged,
      socket: () => {
        if (socket === null) throw new Error('nobody connected');
        return socket;
      },
    };
  }

  it('goes on without acknowledging, and lets us write acknowledgements ourselves', async () => {
    const seen: number[] = [];
    const { client, acknowledged } = await connected(() => (packet, done) => {
      seen.push(packet.messageId ?? 0);
      done(new Error('not yet'));
    });
    await expect.poll(() => seen, WITHIN).toEqual([1, 2, 3, 4, 5]);
    await client.publishAsync('c/d', 'anything', { qos: 0 });
    expect(acknowledged).toEqual([]);
    expect(client.connected).toBe(true);
    client.stream.write(Buffer.from([0x40, 2, 0, 2, 0x40, 2, 0, 1]));
    await expect.poll(() => acknowledged, WITHIN).toEqual([2, 1]);
  });

  it('reads no further while a message is not answered', async () => {
    const waiting: (() => void)[] = [];
    const seen: number[] = [];
    const { socket } = await connected(() => (packet, done) => {
      seen.push(packet.messageId ?? 0);
      waiting.push(() => done(new Error('not yet')));
    });
    await expect.poll(() => seen, WITHIN).toEqual([1]);
    // More than any buffer on the way takes: the other end is not rid of it.
    socket().write(Buffer.alloc(64 * 1024 * 1024));
    await new Promise((resolve) => setTimeout(resolve, 200));
    expect(seen).toEqual([1]);
    expect(socket().writableLength).toBeGreaterThan(0);
    waiting[0]?.();
    await expect.poll(() => seen, WITHIN).toEqual([1, 2]);
  });
});
