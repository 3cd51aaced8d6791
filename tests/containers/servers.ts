/** Mosquitto and InfluxDB of Debian in containers. */
import mqtt from 'mqtt';
import { eventually } from '../end-to-end/eventually.ts';
import { type ServerContainer, startServerContainer } from './server-container.ts';

const ANSWERS_WITHIN_MS = 60_000;
const ASK_FOR_MS = 2_000;

/** Where Mosquitto in a container finds its configuration. */
const MOSQUITTO_CONF = '/etc/mosquitto.conf';

export interface MosquittoFiles {
  /** The whole configuration; by default everybody may do everything at port 1883. */
  readonly configuration: string;
  /** Other files, by path. */
  readonly files: Readonly<Record<string, string>>;
  readonly ports: readonly number[];
}

export function startMosquittoContainer({
  configuration,
  files,
  ports,
}: MosquittoFiles = OPEN_TO_ALL): Promise<ServerContainer> {
  return startServerContainer({
    image: 'lineside-test/mosquitto',
    ports,
    files: { ...files, [MOSQUITTO_CONF]: configuration },
    answering: (address) => answering(() => greet(address)),
  });
}

export function startInfluxContainer(): Promise<ServerContainer> {
  return startServerContainer({
    image: 'lineside-test/influxdb',
    ports: [8086],
    answering: (address) => answering(() => ping(address)),
  });
}

const OPEN_TO_ALL: MosquittoFiles = {
  configuration: 'listener 1883\nallow_anonymous true\nlog_dest stderr\n',
  files: {},
  ports: [1883],
};

/** Refused, reset and hung up alike: the way to a starting container opens before the server. */
async function answering(ask: () => Promise<boolean>): Promise<void> {
  await eventually(
    () => ask().catch(() => false),
    (is) => is,
    { withinMs: ANSWERS_WITHIN_MS },
  );
}

/** Whether it speaks MQTT, and be it to turn us away. */
async function greet(address: string): Promise<boolean> {
  const options = { reconnectPeriod: 0, connectTimeout: ASK_FOR_MS };
  try {
    // Without retries, or a connection that ends before it is one would be waited for for ever.
    const client = await mqtt.connectAsync(`mqtt://${address}`, options, false);
    await client.endAsync(true);
  } catch (error) {
    return error instanceof Error && error.message.includes('Not authorized');
  }
  return true;
}

async function ping(address: string): Promise<boolean> {
  const signal = AbortSignal.timeout(ASK_FOR_MS);
  return (await fetch(`http://${address}/ping`, { signal })).ok;
}
