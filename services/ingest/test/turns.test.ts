import { describe, expect, it } from 'vitest';
import { Turns } from '../src/turns.ts';
import { eventually } from './stand-ins/eventually.ts';
import { NOW_MS, pack, runInMemory } from './stand-ins/running-ingest.ts';

const TOPIC = 'lineside/harbour-mall/rtu-01/telemetry';

describe('turns of a loop', () => {
  it('age while there is work, and not while there is none', () => {
    let nowMs = 5_000;
    const turns = new Turns(() => nowMs);
    nowMs += 90_000;
    expect(turns.ageMs(false)).toBe(0);
    expect(turns.ageMs(true)).toBe(90_000);
    turns.turned();
    nowMs += 10;
    expect(turns.ageMs(true)).toBe(10);
  });
});

describe('the pulse of ingest', () => {
  it('is still while nothing is to be done', async () => {
    const run = await runInMemory();
    expect(run.ingest.pulse()).toEqual({
      commitAgeMs: 0,
      waitingBytes: 0,
      lastCommitAtMs: null,
      judgingAgeMs: 0,
      waitingReadings: 0,
    });
  });

  it('grows old while a commit hangs, and is young again after it', async () => {
    const run = await runInMemory();
    const node = await run.node('harbour-mall', 'rtu-01');
    run.telemetry.hold();
    const sent = node.publishAsync(TOPIC, pack(NOW_MS, 0.001), { qos: 1 });
    await eventually(() => expect(run.ingest.pulse().commitAgeMs).toBeGreaterThan(100));
    expect(run.ingest.pulse().waitingBytes).toBeGreaterThan(0);
    run.telemetry.release();
    await sent;
    await eventually(() => expect(run.ingest.pulse()).toMatchObject({ commitAgeMs: 0 }));
    expect(run.ingest.pulse().lastCommitAtMs).toBe(NOW_MS);
  });

  it('grows old while a judgement cannot be committed', async () => {
    const run = await runInMemory();
    const node = await run.node('harbour-mall', 'rtu-01');
    let letGo: () => void = () => {};
    run.records.beforeJudgement = () => new Promise((resolve) => (letGo = resolve));
    const high = Array.from({ length: 12 }, (_, at) => pack(NOW_MS - at * 60_000, 0.014));
    const packs = high.flatMap((text) => JSON.parse(text));
    await node.publishAsync(TOPIC, JSON.stringify(packs), { qos: 1 });
    await eventually(() => expect(run.ingest.pulse().judgingAgeMs).toBeGreaterThan(100));
    expect(run.ingest.pulse()).toMatchObject({ commitAgeMs: 0, waitingReadings: 12 });
    run.records.beforeJudgement = null;
    letGo();
    await eventually(() => expect(run.ingest.pulse().judgingAgeMs).toBe(0));
  });
});
