import type { OutboxMessage } from '@lineside/storage';
import { Registry } from 'prom-client';
import { describe, expect, it } from 'vitest';
import { Pulse, registerPulse } from '../src/bystander/pulse.ts';

const START_MS = Date.UTC(2026, 0, 10);
const MINUTE_MS = 60_000;

function waiting(createdAtMs: number, more: Partial<OutboxMessage> = {}): OutboxMessage {
  return {
    id: 'p1.desk',
    revision: 1,
    pageKey: 'p1',
    person: null,
    contact: 'desk',
    channel: 'webhook',
    words: {},
    createdAtMs,
    dueAtMs: createdAtMs,
    expiresAtMs: createdAtMs + 60 * MINUTE_MS,
    state: 'waiting',
    attempts: 0,
    handedOverAtMs: null,
    failure: null,
    ...more,
  };
}

function house() {
  const world = {
    nowMs: START_MS,
    commitAgeMs: 0,
    judgingAgeMs: 0,
    caughtUpAtMs: START_MS,
    lastLookAtMs: START_MS as number | null,
    outbox: [] as readonly OutboxMessage[],
    handedOverAtMs: null as number | null,
    isOut: false,
  };
  const store = async <T>(value: T): Promise<T> => {
    if (world.isOut) throw new Error('the store is out');
    return value;
  };
  const pulse = new Pulse({
    clock: () => world.nowMs,
    ingest: {
      pulse: () => ({
        commitAgeMs: world.commitAgeMs,
        waitingBytes: 100,
        lastCommitAtMs: START_MS - 5,
        judgingAgeMs: world.judgingAgeMs,
        waitingReadings: 7,
      }),
    },
    alerting: {
      health: () => ({
        caughtUpAtMs: world.caughtUpAtMs,
        asksOpen: 0,
        failure: null,
        deliverer: {
          isRunning: true,
          inFlight: 0,
          lastLookAtMs: world.lastLookAtMs,
          storeFailure: null,
          closedDoors: [],
        },
      }),
    },
    records: {
      messagesDue: () => store(world.outbox),
      lastHandedOver: () =>
        store(
          world.handedOverAtMs === null
            ? []
            : [{ channel: 'webhook' as const, atMs: world.handedOverAtMs }],
        ),
    },
  });
  const ageOf = (part: string) => pulse.beats().find((beat) => beat.part === part)?.ageMs;
  return { world, pulse, ageOf };
}

describe('the pulse of the server', () => {
  it('takes commit and judging from ingest', () => {
    const { world, pulse, ageOf } = house();
    Object.assign(world, { commitAgeMs: 3_000, judgingAgeMs: 4_000 });
    expect([ageOf('ingest'), ageOf('judging')]).toEqual([3_000, 4_000]);
    expect(pulse.readings()).toEqual({
      lastCommitAtMs: START_MS - 5,
      judgingPending: 7,
      pagesWaiting: 0,
      oldestWaitingAtMs: null,
    });
  });

  it.each([
    ['the journal is not read', { lastLookAtMs: START_MS + 5 * MINUTE_MS }],
    ['the outbox is not looked through', { caughtUpAtMs: START_MS + 5 * MINUTE_MS }],
    ['the outbox never was', { caughtUpAtMs: START_MS + 5 * MINUTE_MS, lastLookAtMs: null }],
  ])('lets paging grow old while %s', (_what, change) => {
    const { world, ageOf } = house();
    Object.assign(world, { nowMs: START_MS + 5 * MINUTE_MS }, change);
    expect(ageOf('paging')).toBe(5 * MINUTE_MS);
  });

  it('lets delivery grow old while a page waits and none gets through to anybody', async () => {
    const { world, pulse, ageOf } = house();
    const failed = { attempts: 3, failure: 'answered 503', dueAtMs: START_MS + 90 * MINUTE_MS };
    world.outbox = [waiting(START_MS, failed)];
    world.nowMs = START_MS + 20 * MINUTE_MS;
    await pulse.count();
    expect(ageOf('delivery')).toBe(20 * MINUTE_MS);
    expect(pulse.readings()).toMatchObject({ pagesWaiting: 1, oldestWaitingAtMs: START_MS });
    world.handedOverAtMs = START_MS + MINUTE_MS;
    await pulse.count();
    expect(ageOf('delivery')).toBe(0);
  });

  it('counts no page that is due later', async () => {
    const { world, pulse } = house();
    world.outbox = [waiting(START_MS, { dueAtMs: START_MS + MINUTE_MS })];
    await pulse.count();
    expect(pulse.readings().pagesWaiting).toBe(0);
  });

  it('keeps the last count while the store is out', async () => {
    const { world, pulse } = house();
    world.outbox = [waiting(START_MS)];
    await pulse.count();
    world.isOut = true;
    await pulse.count();
    expect(pulse.readings().pagesWaiting).toBe(1);
  });

  it('is a metric, with the age of the bystander while there is one', async () => {
    const { world, pulse } = house();
    world.judgingAgeMs = 1_500;
    const registry = new Registry();
    let ageMs: number | null = 2_000;
    registerPulse(registry, pulse, () => ageMs);
    const text = await registry.metrics();
    expect(text).toContain('lineside_heartbeat_age_seconds{part="judging"} 1.5');
    expect(text).toContain('lineside_heartbeat_age_seconds{part="bystander"} 2');
    ageMs = null;
    expect(await registry.metrics()).not.toContain('part="bystander"');
  });
});
