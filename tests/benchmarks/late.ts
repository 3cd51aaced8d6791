/** A unit that comes back with a week of backlog, newest first, beside a live fleet. */
import mqtt, { type MqttClient } from 'mqtt';
import { nodeSignIn } from '../end-to-end/installation.ts';
import { minutePack } from '../end-to-end/packs.ts';
import {
  type ServerProcess,
  startServerProcess,
  temporaryPlace,
} from '../end-to-end/server-process.ts';

const LIVE_UNITS = 100;
const WEEK_PACKS = 28;
const PACK_MINUTES = 360;
const MINUTE_MS = 60_000;
const ALONE_MS = 10_000;

/** `npm run bench -- late` */
export async function benchLate(): Promise<void> {
  const place = temporaryPlace(fleet());
  const server = await startServerProcess(place, { LINESIDE_LOG_LEVEL: 'warn' });
  const clients: MqttClient[] = [];
  try {
    for (let unit = 0; unit <= LIVE_UNITS; unit++) {
      const signIn = await nodeSignIn(place.data, 'roof', `rtu-${unit}`);
      clients.push(await mqtt.connectAsync(server.mqtt, { ...signIn, reconnectPeriod: 0 }));
    }
    const [returned, ...live] = clients;
    if (returned === undefined) throw new Error('there is no client');
    const load = new LiveLoad(live);
    await pause(ALONE_MS);
    const alone = load.take();
    const secondsToJudge = await sendBacklog(server, returned);
    const beside = load.take();
    load.stop();
    console.log(`\na week of minutes newest first, beside ${LIVE_UNITS} live units at 1 reading/s`);
    console.log(`  judged ${secondsToJudge.toFixed(1)} s after the last pack (goal 30)`);
    console.log(`  live PUBACK, 99 of 100 within: alone ${alone.toFixed(0)} ms, beside it`);
    console.log(`  ${beside.toFixed(0)} ms (ratio ${(beside / alone).toFixed(1)})`);
  } finally {
    await Promise.all(clients.map((client) => client.endAsync(true)));
    await server.stop();
    place.dispose();
  }
}

/** Seconds from the last pack until nothing is left to judge. */
async function sendBacklog(server: ServerProcess, client: MqttClient): Promise<number> {
  const topic = 'lineside/roof/rtu-0/telemetry';
  const nowMs = Math.floor(Date.now() / MINUTE_MS) * MINUTE_MS;
  await client.publishAsync(topic, minutePack(nowMs, 1, 1.2), { qos: 1 });
  for (let pack = 1; pack <= WEEK_PACKS; pack++) {
    const fromMs = nowMs - pack * PACK_MINUTES * MINUTE_MS;
    await client.publishAsync(topic, minutePack(fromMs, PACK_MINUTES, 1.2), { qos: 1 });
  }
  const sentMs = performance.now();
  for (let calm = 0; calm < 3; ) {
    await pause(100);
    const health = (await (await fetch(`${server.http}/api/health`)).json()) as {
      pending: number;
    };
    // Live readings of this moment may be under way.
    calm = health.pending <= LIVE_UNITS / 10 ? calm + 1 : 0;
  }
  return (performance.now() - sentMs) / 1000;
}

/** One reading a second from each client; measures how long each PUBACK takes. */
class LiveLoad {
  readonly #timer: NodeJS.Timeout;
  #delays: number[] = [];

  constructor(clients: readonly MqttClient[]) {
    this.#timer = setInterval(() => {
      const atMs = Date.now();
      for (const [index, client] of clients.entries()) {
        const sentMs = performance.now();
        const topic = `lineside/roof/rtu-${index + 1}/telemetry`;
        client.publish(topic, minutePack(atMs, 1, 1.2), { qos: 1 }, (error) => {
          if (!error) this.#delays.push(performance.now() - sentMs);
        });
      }
    }, 1_000);
  }

  /** The delay (ms) that 99 of 100 messages since the last call stayed within. */
  take(): number {
    const sorted = this.#delays.sort((one, other) => one - other);
    this.#delays = [];
    return sorted[Math.floor(sorted.length * 0.99)] ?? Number.NaN;
  }

  stop(): void {
    clearInterval(this.#timer);
  }
}

function fleet(): string {
  const units = Array.from(
    { length: LIVE_UNITS + 1 },
    (_, unit) => `      - { id: rtu-${unit}, supply: { volts: 600 } }`,
  );
  return `sites:\n  - id: roof\n    units:\n${units.join('\n')}\n`;
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
