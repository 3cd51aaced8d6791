import type { AddressInfo } from 'node:net';
import { createServer } from 'node:net';
import {
  type BrokerDoor,
  type BrokerParts,
  EmbeddedBroker,
  hashSecret,
  OutsideBroker,
  type OutsideBrokerSettings,
} from '@lineside/ingest';
import { Aedes } from 'aedes';
import { connectAsync, type IClientOptions, type MqttClient } from 'mqtt';
import { pino } from 'pino';
import type { BrokerHooks, BrokerPlace } from './broker-contract.ts';
import { startMosquittoServer } from './mosquitto-server.ts';
import { type MqttWay, openWay } from './mqtt-way.ts';

const TOKEN = 'reader-secret';
const PASSWORD = 'node-secret';
const NOBODY_LISTENS = 1;

/** Everybody is known who says so. */
const RECORDS: BrokerParts['records'] = {
  nodeCredential: async (username) => {
    const [site = '', unit = ''] = username.split('/');
    return {
      site,
      unit,
      username,
      secretHash: hashSecret(PASSWORD),
      mosquittoHash: null,
      createdAtMs: 0,
    };
  },
  revokedNodes: async () => [],
  revocationsAfter: async () => [],
  tokenByHash: async (tokenHash) => ({
    id: 't1',
    role: 'office',
    sites: null,
    tokenHash,
    createdAtMs: 0,
  }),
};

export function partsWith(hooks: BrokerHooks): BrokerParts {
  return {
    onPresenceLost: async () => {},
    ...hooks,
    records: RECORDS,
    log: pino({ level: 'silent' }),
    settings: { mqttHost: '127.0.0.1', mqttPort: 0, tls: null, retentionDays: 400 },
  };
}

/** Clients of a test, which end with it. */
class Clients {
  readonly #all: MqttClient[] = [];

  async add(port: number, options: IClientOptions): Promise<MqttClient> {
    const client = await connectAsync(`mqtt://127.0.0.1:${port}`, {
      reconnectPeriod: 50,
      ...options,
    });
    client.on('error', () => {});
    this.#all.push(client);
    return client;
  }

  async end(): Promise<void> {
    await Promise.all(this.#all.map((client) => client.endAsync(true)));
  }
}

/** The broker in this process; the way that is cut leads from nodes to it. */
export async function embeddedPlace(): Promise<BrokerPlace> {
  let door: BrokerDoor | null = null;
  const way = await openWay(() => door?.port || NOBODY_LISTENS);
  const clients = new Clients();
  return {
    strayTopic: 'lineside/harbour-mall/rtu-02/telemetry',
    open: async (hooks) => {
      door = new EmbeddedBroker(partsWith(hooks));
      await door.prepare();
      await door.open();
      return door;
    },
    node: (unit, options) =>
      clients.add(way.port, { username: `harbour-mall/${unit}`, password: PASSWORD, ...options }),
    reader: () => clients.add(door?.port ?? 0, { username: 'token', password: TOKEN }),
    interrupt: () => way.cut(),
    dispose: async () => {
      await clients.end();
      await way.stop();
    },
  };
}

/** A broker in a process of its own; the way that is cut leads from us to it. */
export async function mosquittoPlace(isOld: boolean): Promise<BrokerPlace> {
  const server = await startMosquittoServer();
  const way = await openWay(() => server.port, { isOld });
  return outsidePlace(server.port, way, () => server.stop());
}

/** A broker that knows MQTT 3.1.1 alone and says so. */
export async function plainPlace(): Promise<BrokerPlace> {
  const broker = await Aedes.createBroker();
  const server = createServer(broker.handle);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  const way = await openWay(() => port);
  return outsidePlace(port, way, async () => {
    await new Promise<void>((resolve) => broker.close(resolve));
    server.close();
  });
}

function outsidePlace(port: number, way: MqttWay, stop: () => Promise<void>): BrokerPlace {
  const clients = new Clients();
  return {
    strayTopic: 'lineside/Harbour-Mall/rtu-01/telemetry',
    open: async (hooks) => {
      const door = new OutsideBroker(partsWith(hooks), outsideSettings(way.port));
      await door.prepare();
      await door.open();
      return door;
    },
    node: (_unit, options) => clients.add(port, { ...options }),
    reader: () => clients.add(port, {}),
    interrupt: () => way.cut(),
    dispose: async () => {
      await clients.end();
      await way.stop();
      await stop();
    },
  };
}

/** Without sign-in or TLS. */
export function outsideSettings(port: number): OutsideBrokerSettings {
  return {
    url: `mqtt://127.0.0.1:${port}`,
    host: '127.0.0.1',
    port,
    username: null,
    password: null,
    clientId: 'lineside-ingest',
    tls: null,
  };
}
