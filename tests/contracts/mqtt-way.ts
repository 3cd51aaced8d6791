import { once } from 'node:events';
import type { AddressInfo } from 'node:net';
import { connect, createServer, type Socket } from 'node:net';

/** CONNACK of MQTT 3.1.1, section 3.2: unacceptable protocol version. */
const UNACCEPTABLE_VERSION = Buffer.from([0x20, 2, 0, 1]);

/** Where the protocol version stands in CONNECT with the name MQTT, after a length of one byte. */
const CONNECT_NAME = Buffer.from('\u0000\u0004MQTT');

/** A way to a broker that can be cut. */
export interface MqttWay {
  readonly port: number;
  /** Connections that stand. */
  readonly connections: number;
  /** Ends all connections at once; new ones come through. */
  cut(): void;
  /** Ends all connections, and turns away new ones until it is opened. */
  block(): void;
  unblock(): void;
  stop(): Promise<void>;
}

/** Leads to the port; with `isOld` it answers MQTT 5 as a broker does that does not know it. */
export async function openWay(toPort: () => number, { isOld = false } = {}): Promise<MqttWay> {
  const sockets = new Set<Socket>();
  let isBlocked = false;
  const server = createServer((near) => {
    if (isBlocked) {
      near.destroy();
      return;
    }
    const far = connect({ port: toPort(), host: '127.0.0.1', noDelay: true });
    sockets.add(near);
    for (const [one, other] of [
      [near, far],
      [far, near],
    ] as const) {
      one.on('error', () => {});
      one.once('close', () => {
        other.destroy();
        sockets.delete(near);
      });
    }
    far.pipe(near);
    near.once('data', (first: Buffer) => {
      if (isOld && isVersion5(first)) {
        near.end(UNACCEPTABLE_VERSION);
        return;
      }
      far.write(first);
      near.pipe(far);
    });
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const cut = (): void => {
    for (const socket of sockets) socket.destroy();
  };
  return {
    port: (server.address() as AddressInfo).port,
    get connections() {
      return sockets.size;
    },
    cut,
    block: () => {
      isBlocked = true;
      cut();
    },
    unblock: () => {
      isBlocked = false;
    },
    stop: async () => {
      cut();
      server.close();
      await once(server, 'close');
    },
  };
}

function isVersion5(connectPacket: Buffer): boolean {
  const at = connectPacket.indexOf(CONNECT_NAME);
  return at > 0 && connectPacket[at + CONNECT_NAME.length] === 5;
}
