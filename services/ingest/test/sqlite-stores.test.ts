import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  openRecordStore,
  openTelemetryStore,
  type RecordStore,
  type TelemetryStore,
} from '@lineside/storage';
import { connectAsync, type MqttClient } from 'mqtt';
import { afterEach, describe, expect, it } from 'vitest';
import { makeNodeCredential } from '../src/broker/credentials.ts';
import { eventually } from './stand-ins/eventually.ts';
import { NOW_MS, pack, type Running, runIngest } from './stand-ins/running-ingest.ts';

const MINUTE_MS = 60_000;
const TOPIC = 'lineside/harbour-mall/rtu-01/telemetry';
const endAfterwards: (() => Promise<unknown>)[] = [];

afterEach(async () => {
  for (const end of endAfterwards.splice(0).reverse()) {
    await end();
  }
});

async function newFolder(): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), 'lineside-ingest-'));
  endAfterwards.push(() => rm(folder, { recursive: true }));
  return folder;
}

async function openTelemetry(folder: string): Promise<TelemetryStore> {
  const telemetry = await openTelemetryStore({ folder: join(folder, 'telemetry') });
  endAfterwards.push(() => telemetry.close());
  return telemetry;
}

async function openRecords(folder: string): Promise<RecordStore> {
  const records = await openRecordStore({ file: join(folder, 'records.sqlite') });
  endAfterwards.push(() => records.close());
  return records;
}

async function connectNode(run: Running, records: RecordStore): Promise<MqttClient> {
  const { username, password, credential } = makeNodeCredential('harbour-mall', 'rtu-01', NOW_MS);
  await records.setNodeCredential(credential);
  const { mqttPort: port } = run.ingest;
  const node = await connectAsync({ host: '127.0.0.1', port, username, password });
  endAfterwards.push(() => node.endAsync(true));
  return node;
}

async function publishMinutes(node: MqttClient, from: number, to: number): Promise<void> {
  for (let minute = from; minute < to; minute++) {
    const leakAmps = minute < 20 ? 0.014 : 0.001;
    const payload = pack(NOW_MS + (minute - 60) * MINUTE_MS, leakAmps);
    await node.publishAsync(TOPIC, payload, { qos: 1 });
  }
}

async function journalOf(records: RecordStore) {
  const entries = await records.journalAfter(0, 100);
  return entries.map(({ event, atMs, to, alarm }) => [event, alarm.kind, atMs - NOW_MS, to]);
}

describe('over the SQLite stores', () => {
  it('goes on after a restart as if there had been none', async () => {
    const folder = await newFolder();
    const telemetry = await openTelemetry(folder);
    const records = await openRecords(folder);
    const before = await runIngest({ telemetry, records });
    await publishMinutes(await connectNode(before, records), 0, 15);
    await before.ingest.close();

    const after = await runIngest({ telemetry, records });
    expect(after.ingest.latest('harbour-mall', 'rtu-01')?.atMs).toBe(NOW_MS - 46 * MINUTE_MS);
    await publishMinutes(await connectNode(after, records), 15, 60);
    await eventually(() => expect(after.ingest.pending()).toBe(0));
    const journal = await journalOf(records);
    expect(journal.map(([event, kind, , to]) => [event, kind, to])).toEqual([
      ['raise', 'leakage', 'unacknowledged'],
      ['clear', 'leakage', 'returned-unacknowledged'],
    ]);

    // And once more, from the readings alone: the records are lost, the findings are not.
    const empty = await openRecords(await newFolder());
    await runIngest({ telemetry, records: empty });
    expect(await journalOf(empty)).toEqual(journal);
  });

  it('keeps refused messages in the quarantine of the records', async () => {
    const folder = await newFolder();
    const records = await openRecords(folder);
    const run = await runIngest({ telemetry: await openTelemetry(folder), records });
    const node = await connectNode(run, records);
    await node.publishAsync(TOPIC, 'no pack', { qos: 1 });
    await node.publishAsync('lineside/north-depot/rtu-01/telemetry', '[]', { qos: 1 });
    await node.publishAsync('lineside/harbour-mall/rtu-01/presence', 'online', { qos: 1 });
    const { items } = await records.quarantined({ limit: 10, cursor: null });
    expect(items.map(({ topic, code }) => [topic, code])).toEqual([
      ['lineside/north-depot/rtu-01/telemetry', 'topic-not-allowed'],
      [TOPIC, 'not-senml'],
    ]);
    expect(await records.presences()).toMatchObject([{ unit: 'rtu-01', online: true }]);
  });
});
