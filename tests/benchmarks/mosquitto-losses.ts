/** What an acknowledgement of Mosquitto is worth when it is killed, by how often it saves. */
import { setTimeout as wait } from 'node:timers/promises';
import { connectAsync, type MqttClient } from 'mqtt';
import {
  HAS_MOSQUITTO,
  type MosquittoServer,
  startMosquittoServer,
} from '../contracts/mosquitto-server.ts';

const SETTINGS: Readonly<Record<string, readonly string[]>> = {
  'default (every 30 minutes)': [],
  'autosave_interval 10': ['autosave_interval 10'],
  'autosave_interval 1': ['autosave_interval 1'],
  'autosave_on_changes, interval 1000': ['autosave_on_changes true', 'autosave_interval 1000'],
  'autosave_on_changes, interval 1': ['autosave_on_changes true', 'autosave_interval 1'],
};

/** Each is killed at this many places between two saves. */
const SECONDS_UNTIL_KILL = [6, 15];
/** With a whole save for each message there is no catching up that anybody would wait for. */
const TOO_SLOW_TO_CATCH_UP = 'autosave_on_changes, interval 1';

/** Waiting for a subscriber that is away, before it catches up. */
const BACKLOG = 200_000;
const CATCH_UP_MOST_MS = 60_000;
const PAYLOAD = Buffer.alloc(300, 'x');
const TOPIC = 'lineside/site/unit/telemetry';
const RATE_A_SECOND = 1_000;
const TICK_MS = 10;
/** In flight while a backlog is made. */
const WINDOW = 500;
const QUIET_MS = 2_000;

/** `npm run bench -- mosquitto-losses` */
export async function benchMosquittoLosses(): Promise<void> {
  if (!HAS_MOSQUITTO) throw new Error("this benchmark needs Debian's package mosquitto");
  console.log(
    `\n${RATE_A_SECOND} messages of ${PAYLOAD.length} bytes a second, kill -9 after ` +
      `${SECONDS_UNTIL_KILL.join(' and ')} s: lost of what was acknowledged`,
  );
  for (const [name, lines] of Object.entries(SETTINGS)) {
    for (const seconds of SECONDS_UNTIL_KILL) {
      const away = await killedWith(lines, seconds, false);
      const there = await killedWith(lines, seconds, true);
      console.log(`${name}, ${seconds} s: subscriber away ${away}; connected ${there}`);
    }
  }
  console.log(`\nsubscriber returns to ${BACKLOG} while ${RATE_A_SECOND} a second go on`);
  for (const [name, lines] of Object.entries(SETTINGS)) {
    if (name !== TOO_SLOW_TO_CATCH_UP) console.log(`${name}: ${await caughtUp(lines)}`);
  }
}

/** What went on at the node. */
interface Sending {
  sent: number;
  acknowledged: number;
  longestMs: number;
}

async function killedWith(
  lines: readonly string[],
  seconds: number,
  isConnected: boolean,
): Promise<string> {
  const server = await startMosquittoServer({ lines: () => lines });
  const heard = new Set<number>();
  try {
    const first = await subscriber(server, heard);
    if (!isConnected) await first.endAsync();
    const node = await connectAsync(server.url, { reconnectPeriod: 0 });
    node.on('error', () => undefined);
    const sending = { sent: 0, acknowledged: 0, longestMs: 0 };
    await publishPaced(node, sending, seconds * 1_000);
    // Read before the kill: the numbers of messages that were not acknowledged do not count.
    const { acknowledged } = sending;
    await server.kill();
    await Promise.all([node.endAsync(true), first.endAsync(true)]);
    await server.start();
    await (await returned(server, heard)).endAsync(true);
    let lost = 0;
    for (let number = 0; number < acknowledged; number++) if (!heard.has(number)) lost += 1;
    return `${lost} of ${acknowledged}`;
  } finally {
    await server.stop();
  }
}

async function caughtUp(lines: readonly string[]): Promise<string> {
  const server = await startMosquittoServer({
    lines: () => ['max_inflight_messages 1000', ...lines],
  });
  const heard = new Set<number>();
  try {
    await (await subscriber(server, heard)).endAsync();
    const node = await connectAsync(server.url, { reconnectPeriod: 0 });
    node.on('error', () => undefined);
    const sending = { sent: 0, acknowledged: 0, longestMs: 0 };
    while (sending.sent < BACKLOG) await publishWindow(node, sending);
    sending.longestMs = 0;
    const startedAt = performance.now();
    const back = await subscriber(server, heard);
    const live = publishPaced(node, sending, CATCH_UP_MOST_MS, () => heard.size >= BACKLOG);
    await live;
    const seconds = (performance.now() - startedAt) / 1_000;
    await Promise.all([back.endAsync(true), node.endAsync(true)]);
    return (
      `${Math.round(heard.size / seconds)} a second, longest acknowledgement ` +
      `${Math.round(sending.longestMs)} ms`
    );
  } finally {
    await server.stop();
  }
}

/** A session that outlives its connection, as Lineside's. */
async function subscriber(server: MosquittoServer, heard: Set<number>): Promise<MqttClient> {
  const client = await connectAsync(server.url, {
    clientId: 'lineside',
    clean: false,
    reconnectPeriod: 0,
  });
  client.on('error', () => undefined);
  client.on('message', (_topic, payload) => heard.add(payload.readUInt32BE(0)));
  await client.subscribeAsync(TOPIC, { qos: 1 });
  return client;
}

/** After the restart: connected until nothing comes any more. */
async function returned(server: MosquittoServer, heard: Set<number>): Promise<MqttClient> {
  const client = await subscriber(server, heard);
  for (let before = -1; before !== heard.size; ) {
    before = heard.size;
    await wait(QUIET_MS);
  }
  return client;
}

function publishOne(node: MqttClient, sending: Sending): Promise<void> {
  const payload = Buffer.from(PAYLOAD);
  payload.writeUInt32BE(sending.sent, 0);
  sending.sent += 1;
  const sentAt = performance.now();
  return new Promise((resolve) => {
    node.publish(TOPIC, payload, { qos: 1 }, (error) => {
      if (!error) {
        sending.acknowledged += 1;
        sending.longestMs = Math.max(sending.longestMs, performance.now() - sentAt);
      }
      resolve();
    });
  });
}

async function publishWindow(node: MqttClient, sending: Sending): Promise<void> {
  await Promise.all(Array.from({ length: WINDOW }, () => publishOne(node, sending)));
}

/** At the rate until the time is over or somebody says that it is enough. */
async function publishPaced(
  node: MqttClient,
  sending: Sending,
  forMs: number,
  isDone: () => boolean = () => false,
): Promise<void> {
  const startedAt = performance.now();
  const before = sending.sent;
  while (performance.now() - startedAt < forMs && !isDone()) {
    const due = Math.floor(((performance.now() - startedAt) / 1_000) * RATE_A_SECOND);
    while (sending.sent - before < due) void publishOne(node, sending);
    await wait(TICK_MS);
  }
}
