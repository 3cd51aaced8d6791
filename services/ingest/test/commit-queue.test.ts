import type { Reading } from '@lineside/readings';
import { StoreError } from '@lineside/storage';
import { pino } from 'pino';
import { Registry } from 'prom-client';
import { describe, expect, it } from 'vitest';
import { BatchWriter } from '../src/commit/batch-writer.ts';
import { CommitQueue, MOST_READINGS_PER_COMMIT } from '../src/commit/commit-queue.ts';
import { growingPauseMs, Pauses } from '../src/commit/pause.ts';
import { quarantineEntry } from '../src/commit/quarantine-entry.ts';
import { StoreHealth } from '../src/commit/store-health.ts';
import type { Work } from '../src/commit/work.ts';
import { createIngestMetrics } from '../src/metrics.ts';
import { eventually } from './stand-ins/eventually.ts';
import { MemoryRecords } from './stand-ins/memory-records.ts';
import { MemoryTelemetry } from './stand-ins/memory-telemetry.ts';

const log = pino({ level: 'silent' });

function reading(atMs: number, leak = 0.001): Reading {
  return { site: 'harbour-mall', unit: 'rtu-01', atMs, channels: { leak } };
}

/** A queue over stand-ins; `judged` collects what is handed on after each commit. */
function makeQueue(options: { mostWaitingBytes?: number; mayTake?: () => boolean } = {}) {
  const telemetry = new MemoryTelemetry();
  const records = new MemoryRecords();
  const pauses = new Pauses();
  const none = () => 0;
  const metrics = createIngestMetrics(new Registry(), {
    waitingMessages: none,
    waitingBytes: none,
    undecodedMessages: none,
    unacknowledgedMessages: none,
    pendingReadings: none,
    connections: none,
    refusedConnections: none,
    replaysWaiting: none,
    states: () => ({}),
    loudest: () => [],
    clockLeads: () => null,
  });
  const telemetryHealth = new StoreHealth('telemetry', log);
  const recordsHealth = new StoreHealth('records', log);
  const judged: Reading[] = [];
  const queue = new CommitQueue({
    writer: new BatchWriter({
      telemetry,
      records,
      telemetryHealth,
      recordsHealth,
      metrics,
      pauses,
    }),
    metrics,
    clock: () => 0,
    mayTake: () => true,
    beforeCommit: async () => ({ late: new Set(), marks: [] }),
    onCommitted: (readings) => judged.push(...readings),
    ...options,
  });
  return { queue, telemetry, records, pauses, judged, telemetryHealth, recordsHealth };
}

function work(readings: readonly Reading[], overrides: Partial<Work> = {}) {
  const state = { prepared: 0, acknowledged: 0 };
  const one: Work = {
    payloadBytes: 100,
    receivedAtMs: 0,
    prepare: () => {
      state.prepared += 1;
      return { readings, quarantine: [] };
    },
    refused: (reason) =>
      quarantineEntry(0, 'topic', new Uint8Array(), { code: 'not-storable', reason }),
    gone: () => false,
    acknowledge: () => {
      state.acknowledged += 1;
    },
    ...overrides,
  };
  return { work: one, state };
}

describe('commit queue', () => {
  it('hands readings on before their acknowledgement leaves', async () => {
    const { queue, judged } = makeQueue();
    const seen: number[] = [];
    const one = work([reading(1)], { acknowledge: () => seen.push(judged.length) });
    queue.submit(one.work);
    await eventually(() => expect(seen).toEqual([1]));
  });

  it('splits a flood into commits of bounded size', async () => {
    const { queue, telemetry } = makeQueue();
    const half = Array.from({ length: MOST_READINGS_PER_COMMIT / 2 }, (_, i) => reading(i));
    const works = Array.from({ length: 5 }, () => work(half));
    for (const one of works) {
      queue.submit(one.work);
    }
    await eventually(() => expect(works.every(({ state }) => state.acknowledged === 1)).toBe(true));
    expect(telemetry.commits).toEqual([5_000, 5_000, 2_500]);
  });

  it('leaves messages undecoded while too much waits, and drops none', async () => {
    const { queue, telemetry } = makeQueue({ mostWaitingBytes: 1_200 });
    telemetry.hold();
    const works = Array.from({ length: 10 }, (_, i) => work([reading(i)]));
    for (const one of works) {
      queue.submit(one.work);
    }
    const prepared = () => works.filter(({ state }) => state.prepared > 0).length;
    expect(prepared()).toBe(3);
    expect(queue.waitingBytes).toBe(1_500);
    await eventually(() => expect(telemetry.heldCommits).toBe(1));
    telemetry.release();
    await eventually(() => expect(works.every(({ state }) => state.acknowledged === 1)).toBe(true));
    expect(telemetry.stored.size).toBe(10);
    expect(queue.waitingBytes).toBe(0);
  });

  it('waits for those who judge, and forgets what waits for a sender that has gone', async () => {
    let room = false;
    const { queue, telemetry } = makeQueue({ mayTake: () => room });
    const gone = work([reading(1)], { gone: () => true });
    const here = work([reading(2)]);
    queue.submit(gone.work);
    queue.submit(here.work);
    room = true;
    queue.takeWaiting();
    await eventually(() => expect(here.state.acknowledged).toBe(1));
    expect(gone.state.prepared).toBe(0);
    expect([...telemetry.stored.values()].map(({ atMs }) => atMs)).toEqual([2]);
  });

  it('does not fill the memory with what senders repeat in a long outage', () => {
    const { queue } = makeQueue({ mayTake: () => false });
    for (let i = 0; i < 20_000; i++) {
      queue.submit(work([reading(i)], { gone: () => i % 100 !== 0 }).work);
    }
    // 200 senders are still there.
    expect(queue.undecodedMessages).toBeGreaterThanOrEqual(200);
    expect(queue.undecodedMessages).toBeLessThan(1_200);
  });

  it('quarantines the one message that can never be stored and keeps the others', async () => {
    const { queue, telemetry, records, judged } = makeQueue();
    telemetry.refuses = (readings) =>
      readings.some(({ atMs }) => atMs === 2)
        ? new StoreError('STORE_BAD_INPUT', 'time is no integer')
        : null;
    const works = [1, 2, 3].map((atMs) => work([reading(atMs)]));
    for (const one of works) {
      queue.submit(one.work);
    }
    await eventually(() => expect(works.every(({ state }) => state.acknowledged === 1)).toBe(true));
    expect([...telemetry.stored.values()].map(({ atMs }) => atMs)).toEqual([1, 3]);
    expect(judged.map(({ atMs }) => atMs)).toEqual([1, 3]);
    expect(records.quarantinedEntries).toMatchObject([
      { code: 'not-storable', reason: 'time is no integer' },
    ]);
  });

  it('withholds while the records refuse the quarantine, though the readings are stored', async () => {
    const { queue, records, recordsHealth } = makeQueue();
    records.failure = new StoreError('STORE_UNAVAILABLE', 'locked');
    const entry = quarantineEntry(0, 't', new Uint8Array(), { code: 'x', reason: 'x' });
    const one = work([], { prepare: () => ({ readings: [reading(1)], quarantine: [entry] }) });
    queue.submit(one.work);
    await eventually(() => expect(recordsHealth.state.state).toBe('down'));
    expect(one.state.acknowledged).toBe(0);
    records.failure = null;
    await eventually(() => expect(one.state.acknowledged).toBe(1));
    expect(records.quarantinedEntries).toEqual([entry]);
  });

  it('gives up when told to end, without acknowledging', async () => {
    const { queue, telemetry, pauses, telemetryHealth } = makeQueue();
    telemetry.failure = new StoreError('STORE_FULL', 'no space');
    const one = work([reading(1)]);
    queue.submit(one.work);
    await eventually(() => expect(telemetryHealth.state.state).toBe('down'));
    pauses.endAll();
    await queue.drain();
    expect(one.state.acknowledged).toBe(0);
  });
});

describe('growing pauses', () => {
  it('grow from half a second to five', () => {
    expect([1, 2, 3, 4, 5, 6, 100].map(growingPauseMs)).toEqual([
      500, 1_000, 2_000, 4_000, 5_000, 5_000, 5_000,
    ]);
  });
});
