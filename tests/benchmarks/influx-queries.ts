/** Questions over a season and a fleet: SQLite, InfluxDB from readings, InfluxDB from quarters. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Reading } from '@lineside/readings';
import {
  openInfluxStore,
  openRecordStore,
  openTelemetryStore,
  type TelemetryStore,
} from '@lineside/storage';
import { HAS_INFLUXD, type InfluxServer, startInfluxServer } from '../contracts/influx-server.ts';
import { fillStorm, STORM_END_MS, STORM_START_MS, stormApi } from './storms.ts';
import { waveChannels } from './wave-channels.ts';

const MINUTE_MS = 60_000;
const DAY_MS = 86_400_000;
const SEASON_DAYS = 90;
const SEASON_START_MS: number = STORM_START_MS - SEASON_DAYS * DAY_MS;
const BATCH = 5_000;
const ROUNDS = 3;
const UNIT = { site: 'site-1', unit: 'rtu-of-a-season' };

/** `npm run bench -- influx-queries` */
export async function benchInfluxQueries(): Promise<void> {
  if (!HAS_INFLUXD) throw new Error("this benchmark needs influxd, Debian's package influxdb");
  const folder = mkdtempSync(join(tmpdir(), 'lineside-bench-'));
  const server = await startInfluxServer();
  try {
    await compare(folder, server);
  } finally {
    await server.stop();
    rmSync(folder, { recursive: true });
  }
}

async function compare(folder: string, server: InfluxServer): Promise<void> {
  const files = await openTelemetryStore({ folder: join(folder, 'telemetry') });
  const influx = await openInfluxStore({ url: server.url, token: null, org: null, bucket: 'b' });
  for (const store of [files, influx]) {
    await fillStorm(store);
    await fillSeason(store);
  }
  const columns = [
    await timesOf(files, join(folder, 'files.db')),
    await timesOf(influx, join(folder, 'raw.db')),
  ];
  const startedAt = performance.now();
  const report = await influx.sumUp?.(STORM_END_MS + DAY_MS);
  const seconds = ((performance.now() - startedAt) / 1_000).toFixed(0);
  columns.push(await timesOf(influx, join(folder, 'summed.db')));
  console.log(`\nsumming up ${report?.quarters} quarters of units: ${seconds} s`);
  console.log(`median of ${ROUNDS}, ms: SQLite, InfluxDB from readings, InfluxDB from quarters`);
  for (const what of Object.keys(columns[0] ?? {})) {
    const cells = columns.map((times) => String(Math.round(times[what] ?? 0)).padStart(7));
    console.log(`  ${what.padEnd(44)}${cells.join('')}`);
  }
  await Promise.all([files.close(), influx.close()]);
}

async function timesOf(
  store: TelemetryStore,
  recordsFile: string,
): Promise<Readonly<Record<string, number>>> {
  const records = await openRecordStore({ file: recordsFile });
  const { api, token } = await stormApi(store, records);
  const get = async (url: string): Promise<{ readonly items?: readonly { id: string }[] }> => {
    const headers = { authorization: `Bearer ${token}` };
    const answer = await api.inject({ method: 'GET', url, headers });
    if (answer.statusCode !== 200) throw new Error(`${url}: ${answer.body}`);
    return answer.json();
  };
  const storm = (await get('/api/storms')).items?.[0]?.id;
  const season = { ...UNIT, fromMs: SEASON_START_MS, channels: null };
  const seasonEndMs = SEASON_START_MS + SEASON_DAYS * DAY_MS;
  const storms = { fromMs: STORM_START_MS, toMs: STORM_END_MS };
  const week = { ...season, toMs: SEASON_START_MS + 7 * DAY_MS };
  const questions: Readonly<Record<string, () => Promise<unknown>>> = {
    'one unit, 7 days raw': () => store.rangeJson({ ...week, points: 20_000 }),
    'one unit, 90 days in 500 buckets': () =>
      store.rangeJson({ ...season, toMs: seasonEndMs, points: 500 }),
    'one unit, quarters of 90 days, 2 channels': () =>
      store.quarters([{ ...season, toMs: seasonEndMs, channels: ['leak', 'rh'] }]),
    '500 units, extremes of 72 h, 2 channels': () =>
      store.extremes({ ...storms, channels: ['leak', 'rh'] }),
    'list of storms': () => get('/api/storms'),
    'one storm over 500 units': () => get(`/api/storms/${storm}`),
  };
  const medians: Record<string, number> = {};
  for (const [what, ask] of Object.entries(questions)) medians[what] = await medianMs(ask);
  await api.close();
  await records.close();
  return medians;
}

async function medianMs(ask: () => Promise<unknown>): Promise<number> {
  const times: number[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    const startedAt = performance.now();
    await ask();
    times.push(performance.now() - startedAt);
  }
  return times.sort((a, b) => a - b)[Math.floor(ROUNDS / 2)] ?? 0;
}

async function fillSeason(store: TelemetryStore): Promise<void> {
  const minutes = SEASON_DAYS * 24 * 60;
  for (let minute = 0; minute < minutes; minute += BATCH) {
    const length = Math.min(BATCH, minutes - minute);
    await store.append(Array.from({ length }, (_, within) => reading(minute + within)));
  }
}

function reading(minute: number): Reading {
  return {
    ...UNIT,
    atMs: SEASON_START_MS + minute * MINUTE_MS,
    channels: waveChannels(minute),
  };
}
