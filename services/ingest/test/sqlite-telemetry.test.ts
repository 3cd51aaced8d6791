import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openTelemetryStore } from '@lineside/storage';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { MemoryRecords } from './stand-ins/memory-records.ts';
import { NOW_MS, nodeSignIn, pack, runIngest } from './stand-ins/running-ingest.ts';

const MINUTE_MS = 60_000;
const TOPIC = 'lineside/harbour-mall/rtu-01/telemetry';
const folders: string[] = [];

afterEach(async () => {
  for (const folder of folders.splice(0)) {
    await rm(folder, { recursive: true });
  }
});

async function newFolder(): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), 'lineside-ingest-'));
  folders.push(folder);
  return folder;
}

describe('with telemetry in SQLite', () => {
  it('acknowledged readings are there after reopening, and judging goes on', async () => {
    const folder = await newFolder();
    const records = new MemoryRecords();
    const first = await openTelemetryStore({ folder });
    const before = await runIngest({ records, telemetry: first });
    const node = await before.node('harbour-mall', 'rtu-01');
    for (let minute = 30; minute > 20; minute--) {
      const payload = pack(NOW_MS - minute * MINUTE_MS, 0.014);
      await node.publishAsync(TOPIC, payload, { qos: 1 });
    }
    await vi.waitFor(() => expect(before.ingest.pending()).toBe(0));
    await before.ingest.close();
    await first.close();

    const second = await openTelemetryStore({ folder });
    // Nothing of the judging survived: all of it is found again in what is stored.
    const empty = new MemoryRecords();
    const after = await runIngest({ records: empty, telemetry: second });
    expect(after.ingest.latest('harbour-mall', 'rtu-01')?.atMs).toBe(NOW_MS - 21 * MINUTE_MS);
    const alarms = (of: MemoryRecords) =>
      [...of.alarmsById.values()].map(({ kind, raisedAtMs }) => [kind, raisedAtMs]);
    expect(alarms(empty)).toEqual(alarms(records));
    expect(alarms(empty)).toHaveLength(1);
    await after.connect(nodeSignIn(empty, 'harbour-mall', 'rtu-01'));
    await after.ingest.close();
    await second.close();
  });
});
