/**
 * One of those that are compared, in a process of its own. `subscriber` is the bare client library
 * that counts, `writer-…` the bare store that is given readings, the others are all of ingest.
 * Prints `ready`, then what it measured as one JSON line.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { argv, stdout } from 'node:process';
import { setTimeout as wait } from 'node:timers/promises';
import { InfluxDB } from '@influxdata/influxdb-client';
import { applyFleet, parseFleetFile, toFleet } from '@lineside/fleet';
import { startIngest } from '@lineside/ingest';
import type { Reading } from '@lineside/readings';
import { openInfluxStore, openRecordStore, openTelemetryStore } from '@lineside/storage';
import { connectAsync } from 'mqtt';
import { pino } from 'pino';
import { Counter, Registry } from 'prom-client';
import { outsideSettings } from '../contracts/broker-places.ts';
import { fleetText, UNIT_NAMES } from './bench-fleet.ts';

export interface OutsideOptions {
  readonly variant: 'subscriber' | 'writer-sqlite' | 'writer-influx' | 'sqlite' | 'influx';
  readonly mqttPort: number;
  readonly influxUrl: string;
  /** A database or bucket of this run alone. */
  readonly bucket: string;
  readonly packs: number;
  readonly startSeconds: number;
}

const LOOK_EVERY_MS = 5;
const BATCH = 500;
const MINUTE_MS = 60_000;

const options = JSON.parse(argv[2] ?? '{}') as OutsideOptions;
const folder = mkdtempSync(join(tmpdir(), 'lineside-outside-'));
try {
  await measured();
} finally {
  rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
}
process.exit(0);

function measured(): Promise<void> {
  if (options.variant === 'subscriber') return subscribe();
  return options.variant.startsWith('writer-') ? write() : ingest();
}

/** From now on; what it gives prints what was measured. */
function measuring(): () => void {
  const startedAt = performance.now();
  const before = process.cpuUsage();
  return () => {
    const seconds = (performance.now() - startedAt) / 1000;
    const { user, system } = process.cpuUsage(before);
    const cpuMicroseconds = (user + system) / options.packs;
    stdout.write(`${JSON.stringify({ seconds, cpuMicroseconds })}\n`);
  };
}

async function subscribe(): Promise<void> {
  const client = await connectAsync(`mqtt://127.0.0.1:${options.mqttPort}`, {
    protocolVersion: 5,
  });
  let count = 0;
  let tell = (): void => {};
  const done = new Promise<void>((resolve) => {
    client.on('message', () => {
      if (count === 0) tell = measuring();
      count += 1;
      if (count === options.packs) resolve();
    });
  });
  await client.subscribeAsync('lineside/+/+/telemetry', { qos: 1 });
  stdout.write('ready\n');
  await done;
  tell();
  await client.endAsync();
}

async function write(): Promise<void> {
  const batches = readingsInBatches();
  const append = options.variant === 'writer-influx' ? await bareInflux() : await bareSqlite();
  stdout.write('ready\n');
  const tell = measuring();
  for (const batch of batches) await append(batch);
  tell();
}

async function bareSqlite(): Promise<(batch: readonly Reading[]) => Promise<unknown>> {
  const store = await openTelemetryStore({ folder: join(folder, 'telemetry') });
  return (batch) => store.append(batch);
}

async function bareInflux(): Promise<(batch: readonly Reading[]) => Promise<unknown>> {
  const { influxUrl, bucket } = options;
  const made = new URLSearchParams({ q: `CREATE DATABASE "${bucket}"` });
  await fetch(`${influxUrl}/query?${made}`, { method: 'POST' });
  const api = new InfluxDB({ url: influxUrl }).getWriteApi('', bucket, 'ms', {
    batchSize: BATCH + 1,
    flushInterval: 0,
    gzipThreshold: Number.MAX_SAFE_INTEGER,
  });
  api.path = `/write?db=${bucket}&precision=ms`;
  return async (batch) => {
    api.writeRecords(batch.map(lineOf));
    await api.flush();
  };
}

function lineOf({ site, unit, atMs, channels }: Reading): string {
  const fields = Object.entries(channels).map(([name, value]) => `${name}=${value}`);
  return `reading,site=${site},unit=${unit} ${fields.join(',')} ${atMs}`;
}

/** The same that the load sends. */
function readingsInBatches(): Reading[][] {
  const channels = { rh: 61.24, t: 14.21, leak: 0.00123, ia: 17.12, ib: 17.03, ic: 17.31 };
  const all: Reading[] = [];
  for (let index = 0; index < options.packs; index++) {
    const place = UNIT_NAMES[index % UNIT_NAMES.length];
    if (place === undefined) continue;
    const minute = Math.floor(index / UNIT_NAMES.length);
    all.push({ ...place, atMs: options.startSeconds * 1000 + minute * MINUTE_MS, channels });
  }
  const batches: Reading[][] = [];
  for (let at = 0; at < all.length; at += BATCH) batches.push(all.slice(at, at + BATCH));
  return batches;
}

async function ingest(): Promise<void> {
  const records = await openRecordStore({ file: join(folder, 'records.db') });
  const telemetry =
    options.variant === 'influx'
      ? await openInfluxStore({
          url: options.influxUrl,
          token: null,
          org: null,
          bucket: options.bucket,
        })
      : await openTelemetryStore({ folder: join(folder, 'telemetry') });
  const fleet = toFleet(applyFleet(null, parseFleetFile(fleetText(), 'bench-fleet.yaml')));
  const metrics = new Registry();
  await startIngest({
    telemetry,
    records,
    fleet: () => fleet,
    clock: () => Date.now(),
    log: pino({ level: 'error' }, pino.destination(2)),
    metrics,
    settings: {
      mqttHost: '127.0.0.1',
      mqttPort: 0,
      tls: null,
      retentionDays: 400,
      outsideBroker: outsideSettings(options.mqttPort),
    },
  });
  stdout.write('ready\n');
  await countOf(metrics, 'lineside_packs_total', 1);
  const tell = measuring();
  await countOf(metrics, 'lineside_readings_stored_total', options.packs);
  tell();
}

/** Waits until the counter has come to this. */
async function countOf(metrics: Registry, name: string, atLeast: number): Promise<void> {
  const counter = metrics.getSingleMetric(name);
  if (!(counter instanceof Counter)) throw new Error(`no counter ${name}`);
  for (;;) {
    const value = (await counter.get()).values[0]?.value ?? 0;
    if (value >= atLeast) return;
    await wait(LOOK_EVERY_MS);
  }
}
