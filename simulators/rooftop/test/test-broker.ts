import { once } from 'node:events';
import { type AddressInfo, createServer, type Socket } from 'node:net';
import { type DecodedPack, decodePack, parseTopic } from '@lineside/readings';
import { Aedes } from 'aedes';

interface ReceivedPack {
  readonly site: string;
  readonly unit: string;
  readonly decoded: DecodedPack;
}

/** A real broker on a free loopback port that keeps what it acknowledged. */
export interface TestBroker {
  readonly url: string;
  readonly packs: ReceivedPack[];
  /** Newest presence by `<site>/<unit>`. */
  readonly presence: Map<string, string>;
  readonly signIns: Set<string>;
  /** Cuts every connection, as a failing network does. */
  cut(): void;
  close(): Promise<void>;
}

export interface TestBrokerOptions {
  readonly refuses?: (username: string) => boolean;
  /** Called before a pack is acknowledged; true drops the connection instead. */
  readonly dropsAt?: (packCount: number) => boolean;
}

export async function startTestBroker(options: TestBrokerOptions = {}): Promise<TestBroker> {
  const aedes = await Aedes.createBroker();
  const packs: ReceivedPack[] = [];
  const presence = new Map<string, string>();
  const signIns = new Set<string>();
  const sockets = new Set<Socket>();
  let seen = 0;

  aedes.authenticate = (_client, username, password, done) => {
    const refused = username === undefined || options.refuses?.(username) === true;
    if (!refused) signIns.add(`${username} ${String(password)}`);
    done(refused ? Object.assign(new Error('refused'), { returnCode: 4 }) : null, !refused);
  };
  aedes.authorizePublish = (client, packet, done) => {
    const topic = parseTopic(packet.topic);
    const payload = Buffer.from(packet.payload);
    if (topic?.type === 'presence') presence.set(`${topic.site}/${topic.unit}`, String(payload));
    if (topic?.type === 'telemetry') {
      seen += 1;
      if (options.dropsAt?.(seen) === true) {
        client?.conn.destroy();
        return;
      }
      const decoded = decodePack(payload, {
        receivedAtMs: Number.MAX_SAFE_INTEGER,
        oldestAtMs: 0,
        weather: topic.unit === 'weather',
      });
      packs.push({ site: topic.site, unit: topic.unit, decoded });
    }
    done(null);
  };

  const server = createServer((socket) => {
    sockets.add(socket);
    socket.on('close', () => sockets.delete(socket));
    socket.on('error', () => undefined);
    aedes.handle(socket);
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  const cut = (): void => {
    for (const socket of sockets) socket.destroy();
  };
  return {
    url: `mqtt://127.0.0.1:${port}`,
    packs,
    presence,
    signIns,
    cut,
    close: async () => {
      cut();
      server.close();
      await new Promise<void>((resolve) => {
        aedes.close(() => resolve());
      });
    },
  };
}

/** Resolves when the condition holds; rejects after `withinMs`. */
export async function eventually(condition: () => boolean, withinMs = 10_000): Promise<void> {
  const untilMs = Date.now() + withinMs;
  while (!condition()) {
    if (Date.now() > untilMs) throw new Error('it did not happen in time');
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
}
