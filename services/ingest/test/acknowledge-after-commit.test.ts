import { StoreError } from '@lineside/storage';
import type { MqttClient } from 'mqtt';
import { describe, expect, it } from 'vitest';
import { eventually } from './stand-ins/eventually.ts';
import { NOW_MS, pack, runInMemory } from './stand-ins/running-ingest.ts';

const TOPIC = 'lineside/harbour-mall/rtu-01/telemetry';

/** Publishes without waiting; the object says whether the acknowledgement came. */
function publishing(client: MqttClient, payload: string, topic = TOPIC): { acknowledged: boolean } {
  const state = { acknowledged: false };
  client.publishAsync(topic, payload, { qos: 1 }).then(
    () => {
      state.acknowledged = true;
    },
    // The connection ends with the test.
    () => {},
  );
  return state;
}

/** A publish and its answer on another connection prove that the broker had time to answer. */
async function brokerHasAnswered(client: MqttClient): Promise<void> {
  for (let i = 0; i < 3; i++) {
    await client.publishAsync('lineside/north-depot/rtu-01/presence', 'online', { qos: 1 });
  }
}

describe('acknowledging', () => {
  it('sends no PUBACK before the commit that holds the reading', async () => {
    const run = await runInMemory();
    const node = await run.node('harbour-mall', 'rtu-01');
    const other = await run.node('north-depot', 'rtu-01');
    run.telemetry.hold();
    const sent = publishing(node, pack(NOW_MS, 0.0019));
    await eventually(() => expect(run.telemetry.heldCommits).toBe(1));
    await brokerHasAnswered(other);
    expect(sent.acknowledged).toBe(false);
    run.telemetry.release();
    await eventually(() => expect(sent.acknowledged).toBe(true));
    expect(run.telemetry.stored.get(`harbour-mall/rtu-01/${NOW_MS}`)?.channels).toEqual({
      leak: 0.0019,
      rh: 71.2,
      t: -3.1,
      ia: 17.2,
      ib: 17,
      ic: 17.3,
    });
    expect(run.ingest.latest('harbour-mall', 'rtu-01')?.atMs).toBe(NOW_MS);
  });

  it('merges what gathers during a commit into the next one, over all nodes', async () => {
    const run = await runInMemory();
    const first = await run.node('harbour-mall', 'rtu-01');
    const second = await run.node('harbour-mall', 'rtu-02');
    run.telemetry.hold();
    const sent = [publishing(first, pack(NOW_MS, 0.001))];
    await eventually(() => expect(run.telemetry.heldCommits).toBe(1));
    for (let minute = 1; minute <= 5; minute++) {
      const payload = pack(NOW_MS - minute * 60_000, 0.001);
      sent.push(publishing(first, payload));
      sent.push(publishing(second, payload, 'lineside/harbour-mall/rtu-02/telemetry'));
    }
    await eventually(async () => {
      expect(await run.metrics.metrics()).toMatch(/lineside_packs_total 11\b/);
    });
    run.telemetry.release();
    await eventually(() => expect(sent.every((one) => one.acknowledged)).toBe(true));
    expect(run.telemetry.commits).toEqual([1, 10]);
  });

  it('withholds the PUBACK while the disk is full, says so, and recovers by itself', async () => {
    const run = await runInMemory();
    const node = await run.node('harbour-mall', 'rtu-01');
    run.telemetry.failure = new StoreError('STORE_FULL', 'no space left on device');
    const sent = publishing(node, pack(NOW_MS, 0.0019));
    await eventually(() => expect(run.ingest.health().telemetry.state).toBe('down'));
    expect(run.ingest.health().telemetry.reason).toMatch(/^disk full: no space left on device/);
    expect(sent.acknowledged).toBe(false);
    run.telemetry.failure = null;
    await eventually(() => expect(sent.acknowledged).toBe(true));
    expect(run.ingest.health().telemetry).toEqual({ state: 'ok', reason: null });
    expect(run.telemetry.stored.size).toBe(1);
  });

  it('stores what comes with QoS 0 as well', async () => {
    const run = await runInMemory();
    const node = await run.node('harbour-mall', 'rtu-01');
    await node.publishAsync(TOPIC, pack(NOW_MS, 0.0019), { qos: 0 });
    await eventually(() => expect(run.telemetry.stored.size).toBe(1));
  });

  it('commits before the handshake of QoS 2 goes on', async () => {
    const run = await runInMemory();
    const node = await run.node('harbour-mall', 'rtu-01');
    await node.publishAsync(TOPIC, pack(NOW_MS, 0.0019), { qos: 2 });
    expect(run.telemetry.stored.size).toBe(1);
  });

  it('acknowledges a redelivered pack and counts its values as duplicates', async () => {
    const run = await runInMemory();
    const node = await run.node('harbour-mall', 'rtu-01');
    await node.publishAsync(TOPIC, pack(NOW_MS, 0.0019), { qos: 1 });
    await node.publishAsync(TOPIC, pack(NOW_MS, 0.0019), { qos: 1 });
    expect(run.telemetry.stored.size).toBe(1);
    expect(await run.metrics.metrics()).toMatch(/lineside_duplicate_values_total 6\b/);
  });

  it('ends within its time when a store refuses, and acknowledges nothing', async () => {
    const run = await runInMemory();
    const node = await run.node('harbour-mall', 'rtu-01');
    run.telemetry.failure = new StoreError('STORE_UNAVAILABLE', 'gone');
    const sent = publishing(node, pack(NOW_MS, 0.0019));
    await eventually(() => expect(run.ingest.health().telemetry.state).toBe('down'));
    await run.ingest.close();
    expect(sent.acknowledged).toBe(false);
  });
});

describe('quarantine', () => {
  it('acknowledges what is refused, after it is in quarantine', async () => {
    const run = await runInMemory();
    const node = await run.node('harbour-mall', 'rtu-01');
    await node.publishAsync(TOPIC, 'x'.repeat(5_000), { qos: 1 });
    const [entry] = run.records.quarantinedEntries;
    expect(entry).toMatchObject({ topic: TOPIC, atMs: NOW_MS });
    expect(entry?.payload).toHaveLength(4096);
    const code = entry?.code ?? '';
    expect(await run.metrics.metrics()).toContain(`lineside_quarantined_total{code="${code}"} 1`);
  });

  it('keeps the good records of a pack whose others are refused', async () => {
    const run = await runInMemory();
    const node = await run.node('harbour-mall', 'rtu-01');
    const mixed = JSON.stringify([
      { bt: NOW_MS / 1000, n: 'rh', u: '%RH', v: 50 },
      { n: 't', u: 'Cel', v: 500 },
    ]);
    await node.publishAsync(TOPIC, mixed, { qos: 1 });
    expect([...run.telemetry.stored.values()][0]?.channels).toEqual({ rh: 50 });
    expect(run.records.quarantinedEntries.map((entry) => entry.code)).toEqual([
      'value-implausible',
    ]);
  });

  it('quarantines readings of a unit that the fleet does not name', async () => {
    const run = await runInMemory();
    const node = await run.node('harbour-mall', 'rtu-99');
    const topic = 'lineside/harbour-mall/rtu-99/telemetry';
    await node.publishAsync(topic, pack(NOW_MS, 0.002), { qos: 1 });
    expect(run.records.quarantinedEntries).toMatchObject([
      { topic, code: 'unknown-unit', reason: 'unknown unit' },
    ]);
    expect(run.telemetry.stored.size).toBe(0);
  });

  it('stores what an outdoor station and a retired unit send, and judges neither', async () => {
    const run = await runInMemory();
    const station = await run.node('harbour-mall', 'weather');
    const retired = await run.node('harbour-mall', 'old-unit');
    const weather = JSON.stringify([{ bt: NOW_MS / 1000, n: 'wind', u: 'm/s', v: 4 }]);
    await station.publishAsync('lineside/harbour-mall/weather/telemetry', weather, { qos: 1 });
    await retired.publishAsync('lineside/harbour-mall/old-unit/telemetry', pack(NOW_MS, 0.05), {
      qos: 1,
    });
    await eventually(() => expect(run.ingest.pending()).toBe(0));
    expect([...run.telemetry.stored.keys()].sort()).toEqual([
      `harbour-mall/old-unit/${NOW_MS}`,
      `harbour-mall/weather/${NOW_MS}`,
    ]);
    expect(run.ingest.condition('harbour-mall', 'old-unit')).toBeNull();
    expect(run.records.journal).toEqual([]);
  });
});
