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
  'autosave_interval 1': ['autosave_interval 1'],
  'autosave_interval 10': ['autosave_interval 10'],
  'autosave_on_changes, interval 1': ['autosave_on_changes true', 'autosave_interval 1'],
  'autosave_on_changes, interval 1000': ['autosave_on_changes true', 'autosave_interval 1000'],
};

/** Waiting for a subscriber that is away, before the measurement. */
const BACKLOGS = [0, 100_000, 400_000];
const PAYLOAD = Buffer.alloc(300, 'x');
const TOPIC = 'lineside/site/unit/telemetry';
const RATE_A_SECOND = 1_000;
const SECONDS = 6;
const TICK_MS = 10;
/** In flight while a backlog is made. */
const WINDOW = 500;
/** Saving at each change writes the whole store for each message: a backlog takes for ever. */
const MOST_WITH_EACH_CHANGE = 0;
const QUIET_MS = 2_000;

interface Outcome {
  readonly acknowledged: number;
  readonly lost: number;
  /** From a publish to its acknowledgement, the longest. */
  readonly longestMs: number;
}

/** `npm run bench -- mosquitto-losses` */
export async function benchMosquittoLosses(): Promise<void> {
  if (!HAS_MOSQUITTO) throw new Error("this benchmark needs Debian's package mosquitto");
  console.log(
    `\n${RATE_A_SECOND} messages of ${PAYLOAD.length} bytes a second for ${SECONDS} s, then kill -9; ` +
      'subscriber away with so many waiting',
  );
  for (const [name, lines] of Object.entries(SETTINGS)) {
    for (const backlog of BACKLOGS) {
      if (backlog > MOST_WITH_EACH_CHANGE && name === 'autosave_on_changes, interval 1') continue;
      const { acknowledged, lost, longestMs } = await killedOnce(lines, backlog);
      console.log(
        `${name}, ${backlog} waiting: ${acknowledged} acknowledged, ${lost} lost; ` +
          `longest acknowledgement ${Math.round(longestMs)} ms`,
      );
    }
  }
}

async function killedOnce(lines: readonly string[], backlog: number): Promise<Outcome> {
  const server = await startMosquittoServer({ lines: () => lines });
  try {
    await (await subscriber(server)).endAsync();
    const node = await connectAsync(server.url, { reconnectPeriod: 0 });
    node.on('error', () => undefined);
    await publishBacklog(node, backlog);
    const outcome = { acknowledged: backlog, longestMs: 0 };
    await publishPaced(node, outcome);
    const { acknowledged, longestMs } = outcome;
    await server.kill();
    await node.endAsync(true);
    await server.start();
    const received = await countReceived(server, acknowledged);
    return { acknowledged, longestMs, lost: Math.max(0, acknowledged - received) };
  } finally {
    await server.stop();
  }
}

/** A session that outlives its connection, as Lineside's. */
async function subscriber(server: MosquittoServer, heard?: () => void): Promise<MqttClient> {
  const client = await connectAsync(server.url, {
    clientId: 'away',
    clean: false,
    reconnectPeriod: 0,
    ...(heard === undefined
      ? {}
      : { customHandleAcks: (_topic, _message, _packet, done) => done(0) }),
  });
  if (heard !== undefined) client.on('message', heard);
  await client.subscribeAsync(TOPIC, { qos: 1 });
  return client;
}

async function publishBacklog(node: MqttClient, count: number): Promise<void> {
  for (let sent = 0; sent < count; sent += WINDOW) {
    const window = Array.from({ length: Math.min(WINDOW, count - sent) }, () =>
      node.publishAsync(TOPIC, PAYLOAD, { qos: 1 }),
    );
    await Promise.all(window);
  }
}

async function publishPaced(
  node: MqttClient,
  outcome: { acknowledged: number; longestMs: number },
): Promise<void> {
  const startedAt = performance.now();
  let sent = 0;
  while (performance.now() - startedAt < SECONDS * 1_000) {
    const due = Math.floor(((performance.now() - startedAt) / 1_000) * RATE_A_SECOND);
    for (; sent < due; sent++) {
      const sentAt = performance.now();
      node.publish(TOPIC, PAYLOAD, { qos: 1 }, (error) => {
        if (error) return;
        outcome.acknowledged += 1;
        outcome.longestMs = Math.max(outcome.longestMs, performance.now() - sentAt);
      });
    }
    await wait(TICK_MS);
  }
}

/** What the session still has after the restart: counted until nothing comes any more. */
async function countReceived(server: MosquittoServer, most: number): Promise<number> {
  let received = 0;
  const client = await subscriber(server, () => {
    received += 1;
  });
  for (let before = -1; received < most && before !== received; ) {
    before = received;
    await wait(QUIET_MS);
  }
  await client.endAsync(true);
  return received;
}
