/** Mosquitto and InfluxDB of Debian in containers. */
import mqtt from 'mqtt';
import { eventually } from '../end-to-end/eventually.ts';
import { type ServerContainer, startServerContainer } from './server-container.ts';

const ANSWERS_WITHIN_MS = 60_000;
const ASK_FOR_MS = 2_000;

/** @param lines more lines of its configuration; each anonymous client may do everything. */
export function startMosquittoContainer(lines: readonly string[] = []): Promise<ServerContainer> {
  const configuration = [
    ...['listener 1883', 'allow_anonymous true', 'log_dest stderr'],
    ...['persistence true', 'persistence_location /data/'],
    ...lines,
  ];
  return startServerContainer({
    image: 'lineside-test/mosquitto',
    port: 1883,
    files: { '/etc/mosquitto.conf': `${configuration.join('\n')}\n` },
    answering: (address) => answering(() => greet(address)),
  });
}

export function startInfluxContainer(): Promise<ServerContainer> {
  return startServerContainer({
    image: 'lineside-test/influxdb',
    port: 8086,
    answering: (address) => answering(() => ping(address)),
  });
}

/** Refused, reset and hung up alike: the way to a starting container opens before the server. */
async function answering(ask: () => Promise<boolean>): Promise<void> {
  await eventually(
    () => ask().catch(() => false),
    (is) => is,
    { withinMs: ANSWERS_WITHIN_MS },
  );
}

async function greet(address: string): Promise<boolean> {
  const options = { reconnectPeriod: 0, connectTimeout: ASK_FOR_MS };
  const client = await mqtt.connectAsync(`mqtt://${address}`, options);
  await client.endAsync(true);
  return true;
}

async function ping(address: string): Promise<boolean> {
  const signal = AbortSignal.timeout(ASK_FOR_MS);
  return (await fetch(`http://${address}/ping`, { signal })).ok;
}
