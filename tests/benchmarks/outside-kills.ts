/** Ingest killed again and again while nodes publish to a real broker: is all of it stored once? */
import { connectAsync } from 'mqtt';
import { HAS_INFLUXD, startInfluxServer } from '../contracts/influx-server.ts';
import { HAS_MOSQUITTO, startMosquittoServer } from '../contracts/mosquitto-server.ts';
import { eventually } from '../end-to-end/eventually.ts';
import { type Installation, install } from '../end-to-end/installation.ts';
import { leakAmpsAt, storedLeak } from '../faults/acknowledged-load.ts';
import { PacedLoad } from '../faults/paced-load.ts';
import type { BenchOptions } from './bench-options.ts';

const KILLS = 20;
/** Different moments of a commit's life. */
const KILL_AFTER_MS = [40, 90, 150, 230, 310, 700];
const PER_SECOND = 350;
const UNITS = [
  ['harbour-mall', 'rtu-01'],
  ['harbour-mall', 'rtu-02'],
  ['hilltop-school', 'rtu-11'],
] as const;
const DAY_MS = 86_400_000;
const CAUGHT_UP = { withinMs: 300_000, everyMs: 500 };

/** `npm run bench -- outside-kills`; `--cases` is how often. */
export async function benchOutsideKills({ cases }: BenchOptions): Promise<void> {
  if (!HAS_MOSQUITTO) throw new Error("this benchmark needs Debian's package mosquitto");
  const kills = cases ?? KILLS;
  const influx = HAS_INFLUXD ? await startInfluxServer() : null;
  try {
    await killed(kills, 'SQLite', {});
    if (influx === null) return;
    await killed(kills, 'InfluxDB', { LINESIDE_INFLUX_URL: influx.url });
  } finally {
    await influx?.stop();
  }
}

async function killed(
  kills: number,
  store: string,
  env: Readonly<Record<string, string>>,
): Promise<void> {
  const broker = await startMosquittoServer();
  const here = await install(undefined, { ...env, LINESIDE_MQTT_URL: broker.url });
  const fromMs = Math.floor(Date.now() / 1000) * 1000 - 30 * DAY_MS;
  const clients = await Promise.all(UNITS.map(() => connectAsync(broker.url)));
  try {
    const loads = clients.map((client, index) => {
      const [site, unit] = UNITS[index] ?? UNITS[0];
      return new PacedLoad(client, `lineside/${site}/${unit}/telemetry`, fromMs, PER_SECOND);
    });
    for (let kill = 0; kill < kills; kill++) {
      const afterMs = KILL_AFTER_MS[kill % KILL_AFTER_MS.length];
      await new Promise((resolve) => setTimeout(resolve, afterMs));
      await here.restart('kill');
    }
    const endsMs = loads.map((load) => load.stop());
    await eventually(
      () => here.get<{ pending: number }>('/api/health'),
      ({ pending }) => pending === 0,
      CAUGHT_UP,
    );
    let acknowledged = 0;
    let wrong = 0;
    for (const [index, load] of loads.entries()) {
      acknowledged += load.acknowledged.length;
      wrong += await wrongOf(here, UNITS[index] ?? UNITS[0], load, fromMs, endsMs[index] ?? 0);
    }
    console.log(
      `${store}: ${kills} kills, ${acknowledged} readings acknowledged by the broker, ` +
        `${wrong} of them missing, doubled or with another value`,
    );
  } finally {
    await Promise.all(clients.map((client) => client.endAsync(true)));
    await here.dispose();
    await broker.stop();
  }
}

/** Waits for what is still in the broker's queue; then what is wrong stays wrong. */
async function wrongOf(
  here: Installation,
  [site, unit]: readonly [string, string],
  load: PacedLoad,
  fromMs: number,
  toMs: number,
): Promise<number> {
  const ask = async (): Promise<number> => {
    const points = await storedLeak(here.server, here.officeToken, site, unit, fromMs, toMs);
    const right = new Set<number>();
    let doubled = 0;
    for (const [atMs = 0, min, , max] of points) {
      if (right.has(atMs)) doubled += 1;
      if (min === leakAmpsAt(atMs) && max === leakAmpsAt(atMs)) right.add(atMs);
    }
    return doubled + load.acknowledged.filter((atMs) => !right.has(atMs)).length;
  };
  return eventually(ask, (wrong) => wrong === 0, CAUGHT_UP).catch(ask);
}
