/** Telemetry in InfluxDB: writing beside the bare client, and the questions that people wait for. */
import { InfluxDB } from '@influxdata/influxdb-client';
import type { ChannelName, Reading } from '@lineside/readings';
import { openInfluxStore, type TelemetryStore } from '@lineside/storage';
import { HAS_INFLUXD, type InfluxServer, startInfluxServer } from '../contracts/influx-server.ts';
import { waveChannels } from './wave-channels.ts';

const UNITS = 500;
const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const DAY_MS = 24 * HOUR_MS;
const START_MS = Date.UTC(2026, 0, 5);
const BATCHES = [500, 5_000];
const READINGS = 100_000;
const ROUNDS = 3;
const HISTORY_DAYS = 90;

/** `npm run bench -- influx` */
export async function benchInflux(): Promise<void> {
  if (!HAS_INFLUXD) throw new Error("this benchmark needs influxd, Debian's package influxdb");
  const server = await startInfluxServer();
  try {
    console.log(`\n${READINGS} readings of nine channels, ${UNITS} units a minute`);
    for (const size of BATCHES) await compareWriting(server, size);
    await askHistory(server);
  } finally {
    await server.stop();
  }
}

/** Turn about, since other work on the machine comes and goes; the median of the ratios counts. */
async function compareWriting(server: InfluxServer, size: number): Promise<void> {
  const ratios: number[] = [];
  for (let round = 1; round <= ROUNDS; round++) {
    const bare = await writeBare(server, `bare-${size}-${round}`, size);
    const [fresh, again] = await writeOurs(server, `ours-${size}-${round}`, size);
    ratios.push(fresh / bare);
    console.log(
      `batches of ${size}: bare client ${rate(bare)}, ours ${rate(fresh)}, ` +
        `the same delivered again ${rate(again)}`,
    );
  }
  const median = ratios.sort((a, b) => a - b)[Math.floor(ROUNDS / 2)] ?? 0;
  console.log(`batches of ${size}: ${median.toFixed(2)} of the bare client`);
}

function rate(perSecond: number): string {
  return `${Math.round(perSecond / 100) / 10}k/s`;
}

/** Lines made of the same readings as plainly as can be, and awaited batch by batch. */
async function writeBare(server: InfluxServer, database: string, size: number): Promise<number> {
  await server.run(`CREATE DATABASE "${database}"`);
  const api = new InfluxDB({ url: server.url }).getWriteApi('', database, 'ms', {
    batchSize: size + 1,
    flushInterval: 0,
    gzipThreshold: Number.MAX_SAFE_INTEGER,
  });
  api.path = `/write?db=${database}&precision=ms`;
  const batches = batchesOf(size);
  const startedAt = performance.now();
  for (const batch of batches) {
    api.writeRecords(batch.map(lineOf));
    await api.flush();
  }
  const perSecond = READINGS / ((performance.now() - startedAt) / 1_000);
  await api.close();
  return perSecond;
}

async function writeOurs(
  server: InfluxServer,
  bucket: string,
  size: number,
): Promise<readonly [number, number]> {
  const store = await openInfluxStore({ url: server.url, token: null, org: null, bucket });
  const batches = batchesOf(size);
  const run = async (): Promise<number> => {
    const startedAt = performance.now();
    for (const batch of batches) await store.append(batch);
    return READINGS / ((performance.now() - startedAt) / 1_000);
  };
  const fresh = await run();
  const again = await run();
  await store.close();
  return [fresh, again];
}

function batchesOf(size: number): Reading[][] {
  const all = Array.from({ length: READINGS }, (_, index) =>
    reading(index % UNITS, Math.floor(index / UNITS)),
  );
  const batches: Reading[][] = [];
  for (let at = 0; at < all.length; at += size) batches.push(all.slice(at, at + size));
  return batches;
}

function reading(unit: number, minute: number): Reading {
  return {
    site: `site-${Math.floor(unit / 50)}`,
    unit: `rtu-${unit % 50}`,
    atMs: START_MS + minute * MINUTE_MS,
    channels: waveChannels(minute, unit),
  };
}

function lineOf({ site, unit, atMs, channels }: Reading): string {
  const fields = Object.entries(channels).map(([name, value]) => `${name}=${value}`);
  return `reading,site=${site},unit=${unit} ${fields.join(',')} ${atMs}`;
}

async function askHistory(server: InfluxServer): Promise<void> {
  const options = { url: server.url, token: null, org: null };
  const season = await openInfluxStore({ ...options, bucket: 'season' });
  const minutes = HISTORY_DAYS * 24 * 60;
  const long = Array.from({ length: minutes }, (_, minute) => reading(0, minute));
  for (let at = 0; at < minutes; at += 5_000) await season.append(long.slice(at, at + 5_000));
  const one = { site: 'site-0', unit: 'rtu-0', fromMs: START_MS, channels: null };
  const ask = async (what: string, question: (store: TelemetryStore) => Promise<unknown>) => {
    const startedAt = performance.now();
    await question(season);
    console.log(`${what}: ${Math.round(performance.now() - startedAt)} ms`);
  };
  console.log('\none unit at one reading a minute, nine channels');
  const toMs = START_MS + HISTORY_DAYS * DAY_MS;
  await ask('90 days in 500 buckets', (it) => it.rangeJson({ ...one, toMs, points: 500 }));
  const week = START_MS + 7 * DAY_MS;
  await ask('7 days raw', (it) => it.rangeJson({ ...one, toMs: week, points: 20_000 }));
  const channels: ChannelName[] = ['leak', 'rh'];
  await ask('quarters of 90 days', (it) => it.quarters([{ ...one, toMs, channels }]));
  await ask('90 days in pages of 2,000 readings, as a replay reads', async (it) => {
    let fromMs = START_MS;
    while (fromMs < toMs) {
      const page = await it.readings({ ...one, fromMs, toMs, limit: 2_000 });
      fromMs = (page.at(-1)?.atMs ?? toMs) + 1;
    }
  });
  await season.close();
  const fleet = await openInfluxStore({ ...options, bucket: `ours-${BATCHES.at(-1)}-1` });
  const startedAt = performance.now();
  await fleet.latest();
  console.log(`latest of ${UNITS} units: ${Math.round(performance.now() - startedAt)} ms`);
  const askedAt = performance.now();
  await fleet.extremes({ fromMs: START_MS, toMs: START_MS + 72 * HOUR_MS, channels });
  const tookMs = Math.round(performance.now() - askedAt);
  console.log(`extremes of two channels over ${READINGS} readings: ${tookMs} ms`);
  await fleet.close();
}
