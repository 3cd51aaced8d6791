import { actOnAlarm } from '@lineside/alarms';
import { StoreError } from '@lineside/storage';
import { describe, expect, it, vi } from 'vitest';
import { eventually } from './stand-ins/eventually.ts';
import { type MemoryRun, NOW_MS, pack, runInMemory } from './stand-ins/running-ingest.ts';

const MINUTE_MS = 60_000;
const TOPIC = 'lineside/harbour-mall/rtu-01/telemetry';

/** Readings at one a minute that end now, in one pack. */
function minutes(leakMilliamps: readonly number[], endMs = NOW_MS): string {
  return JSON.stringify(
    leakMilliamps.flatMap((leak, index) =>
      JSON.parse(pack(endMs - (leakMilliamps.length - 1 - index) * MINUTE_MS, leak / 1000)),
    ),
  );
}

async function judged(run: MemoryRun): Promise<void> {
  await eventually(() => expect(run.ingest.pending()).toBe(0));
}

const HIGH: readonly number[] = new Array(12).fill(14);
const LOW: readonly number[] = new Array(40).fill(1);

describe('judging', () => {
  it('raises an alarm from readings and commits it with the state of the watch', async () => {
    const run = await runInMemory();
    const conditions: string[] = [];
    run.ingest.onCondition((_site, unit, { atMs }) => conditions.push(`${unit} ${atMs}`));
    const node = await run.node('harbour-mall', 'rtu-01');
    await node.publishAsync(TOPIC, minutes(HIGH), { qos: 1 });
    await judged(run);
    expect([...run.records.alarmsById.values()]).toMatchObject([
      { kind: 'leakage', priority: 'urgent', state: 'unacknowledged', standing: true },
    ]);
    expect(run.records.checkpointsByUnit.get('harbour-mall/rtu-01')).toMatchObject({
      judgedThroughMs: NOW_MS,
    });
    expect(conditions).toEqual([`rtu-01 ${NOW_MS}`]);
    expect(run.ingest.condition('harbour-mall', 'rtu-01')?.leakageMilliamps).toBeCloseTo(14);
  });

  it('takes an acknowledgement that came in between into account', async () => {
    const run = await runInMemory();
    const node = await run.node('harbour-mall', 'rtu-01');
    await node.publishAsync(TOPIC, minutes(HIGH, NOW_MS - 40 * MINUTE_MS), { qos: 1 });
    await judged(run);
    run.records.beforeJudgement = async () => {
      run.records.beforeJudgement = null;
      const [alarm] = run.records.alarmsById.values();
      const result = actOnAlarm(alarm!, { type: 'acknowledge' }, { by: 'office', atMs: NOW_MS });
      if (!result.ok || result.entry === null) {
        throw new Error('the alarm cannot be acknowledged');
      }
      await run.records.changeAlarms([{ entry: result.entry }]);
    };
    await node.publishAsync(TOPIC, minutes(LOW), { qos: 1 });
    await judged(run);
    expect(run.records.journal.map(({ event, to }) => [event, to])).toEqual([
      ['raise', 'unacknowledged'],
      ['acknowledge', 'acknowledged'],
      ['clear', 'normal'],
    ]);
    expect(run.records.journal.map(({ alarm }) => alarm.revision)).toEqual([1, 2, 3]);
  });

  it('keeps readings pending while the records refuse, and then goes on', async () => {
    const run = await runInMemory();
    const node = await run.node('harbour-mall', 'rtu-01');
    run.records.failure = new StoreError('STORE_UNAVAILABLE', 'locked');
    await node.publishAsync(TOPIC, minutes(HIGH), { qos: 1 });
    await eventually(() => expect(run.ingest.health().records.state).toBe('down'));
    expect(run.ingest.pending()).toBe(12);
    run.records.failure = null;
    await judged(run);
    expect(run.records.alarmsById.size).toBe(1);
    expect(run.ingest.health().records.state).toBe('ok');
  });

  it('judges a unit again when readings come late, and is pending until then', async () => {
    const run = await runInMemory();
    const node = await run.node('harbour-mall', 'rtu-01');
    await node.publishAsync(TOPIC, minutes([1]), { qos: 1 });
    await judged(run);
    await node.publishAsync(TOPIC, minutes(HIGH, NOW_MS - 60 * MINUTE_MS), { qos: 1 });
    expect(run.ingest.pending()).toBe(12);
    expect(run.records.replays.marks.size).toBe(1);
    run.advanceMs(2_000);
    await judged(run);
    expect(run.records.replays.marks.size).toBe(0);
    expect([...run.records.alarmsById.values()]).toMatchObject([
      // Its first reading may still be what a sensor errs by under load; the next two are not.
      { kind: 'leakage', priority: 'urgent', raisedAtMs: NOW_MS - 69 * MINUTE_MS },
    ]);
    expect(await run.metrics.metrics()).toMatch(/lineside_late_readings_total 12\b/);
    expect(await run.metrics.metrics()).toMatch(/lineside_replays_total 1\b/);
  });

  it('says how far a unit is judged, and nothing while something late of it waits', async () => {
    const run = await runInMemory();
    const through = () => run.ingest.judgedThroughMs('harbour-mall', 'rtu-01');
    const node = await run.node('harbour-mall', 'rtu-01');
    expect(through()).toBeNull();
    await node.publishAsync(TOPIC, minutes([1, 1], NOW_MS), { qos: 1 });
    await judged(run);
    expect(through()).toBe(NOW_MS);
    await node.publishAsync(TOPIC, minutes([1], NOW_MS - 60 * MINUTE_MS), { qos: 1 });
    expect(through()).toBeNull();
    run.advanceMs(2_000);
    await judged(run);
    expect(through()).toBe(NOW_MS);
    expect(run.ingest.judgedThroughMs('harbour-mall', 'nobody')).toBeNull();
  });

  it('raises silent from the wall clock alone', async () => {
    vi.useFakeTimers({ toFake: ['setInterval', 'clearInterval'] });
    try {
      const run = await runInMemory();
      const node = await run.node('harbour-mall', 'rtu-01');
      await node.publishAsync(TOPIC, pack(NOW_MS, 0.001), { qos: 1 });
      run.advanceMs(60 * MINUTE_MS);
      vi.advanceTimersByTime(10_000);
      vi.useRealTimers();
      await eventually(() => expect(run.records.journal).toHaveLength(1));
      expect(run.records.journal[0]).toMatchObject({
        event: 'raise',
        atMs: NOW_MS + 60 * MINUTE_MS,
        alarm: { kind: 'silent', priority: 'routine' },
      });
    } finally {
      vi.useRealTimers();
    }
  });

  it('shows a new service record to the watch, once', async () => {
    const run = await runInMemory();
    const node = await run.node('harbour-mall', 'rtu-01');
    await node.publishAsync(TOPIC, minutes([1, 1, 1]), { qos: 1 });
    await judged(run);
    const day = 24 * 60 * MINUTE_MS;
    for (const [index, atMs] of [NOW_MS - 20 * day, NOW_MS - 10 * day, NOW_MS].entries()) {
      run.records.services.push({
        site: 'harbour-mall',
        unit: 'rtu-01',
        id: `s${index}`,
        atMs,
        action: 'fuses-replaced',
        body: { phases: ['a', 'b'] },
        recordedAtMs: NOW_MS,
        recordedBy: 'office',
      });
    }
    run.ingest.serviceRecorded('harbour-mall', 'rtu-01');
    await eventually(() => expect(run.records.replays.marks.size).toBe(1));
    // They are about times that were judged already.
    run.advanceMs(2_000);
    await judged(run);
    run.ingest.serviceRecorded('harbour-mall', 'rtu-01');
    await judged(run);
    expect(
      run.records.journal.map(({ event, alarm }) => [event, alarm.kind, alarm.priority]),
    ).toEqual([['raise', 'repeat-fuse', 'urgent']]);
  });
});
