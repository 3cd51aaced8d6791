import { StoreError } from '@lineside/storage';
import { describe, expect, it } from 'vitest';
import { eventually } from './stand-ins/eventually.ts';
import { MemoryRecords } from './stand-ins/memory-records.ts';
import { MemoryTelemetry } from './stand-ins/memory-telemetry.ts';
import { NOW_MS, nodeSignIn, pack, type Running, runIngest } from './stand-ins/running-ingest.ts';

const MINUTE_MS = 60_000;
const UNITS = ['rtu-01', 'rtu-02'] as const;
const READINGS = 400;

/** Leakage in mA by minute: quiet, a rise over all limits, quiet, then a second, smaller one. */
function leakageMilliamps(minute: number, unit: string): number {
  const shifted = unit === 'rtu-01' ? minute : minute - 17;
  if (shifted >= 40 && shifted < 90) {
    return 4 + (shifted - 40) * 0.8;
  }
  return shifted >= 170 && shifted < 200 ? 12 : 1.2;
}

function payload(unit: string, fromMinute: number, toMinute: number): string {
  const startMs = NOW_MS - READINGS * MINUTE_MS;
  const records: unknown[] = [];
  for (let minute = fromMinute; minute < toMinute; minute++) {
    const atMs = startMs + minute * MINUTE_MS;
    records.push(...JSON.parse(pack(atMs, leakageMilliamps(minute, unit) / 1000)));
  }
  return JSON.stringify(records);
}

interface Stores {
  readonly records: MemoryRecords;
  readonly telemetry: MemoryTelemetry;
}

/** What is on disk at this very moment. */
function snapshot({ records, telemetry }: Stores): Stores {
  const copy = { records: new MemoryRecords(), telemetry: new MemoryTelemetry() };
  const pairs: [Map<string, unknown>, Map<string, unknown>][] = [
    [telemetry.stored, copy.telemetry.stored],
    [records.alarmsById, copy.records.alarmsById],
    [records.checkpointsByUnit, copy.records.checkpointsByUnit],
    [records.episodes, copy.records.episodes],
  ];
  for (const [from, to] of pairs) {
    for (const [key, value] of from) {
      to.set(key, value);
    }
  }
  copy.records.journal.push(...records.journal);
  return copy;
}

/** Publishes the outdoor reports of the whole history, one every ten minutes. */
async function publishWeather(run: Running, stores: Stores): Promise<void> {
  nodeSignIn(stores.records, 'harbour-mall', 'weather');
  const station = await run.node('harbour-mall', 'weather');
  const reports: unknown[] = [];
  for (let minute = -60; minute < READINGS; minute += 10) {
    const bt = (NOW_MS - (READINGS - minute) * MINUTE_MS) / 1000;
    reports.push({ bt, n: 't', u: 'Cel', v: -8 }, { n: 'rh', u: '%RH', v: 60 + (minute % 7) });
  }
  const topic = 'lineside/harbour-mall/weather/telemetry';
  await station.publishAsync(topic, JSON.stringify(reports), { qos: 1 });
}

/** Publishes the minutes in packs of ten, both units in turn. */
async function publish(run: Running, stores: Stores, from: number, to: number): Promise<void> {
  for (const unit of UNITS) {
    nodeSignIn(stores.records, 'harbour-mall', unit);
  }
  const nodes = await Promise.all(UNITS.map((unit) => run.node('harbour-mall', unit)));
  for (let minute = from; minute < to; minute += 10) {
    await Promise.all(
      UNITS.map((unit, index) =>
        nodes[index]?.publishAsync(
          `lineside/harbour-mall/${unit}/telemetry`,
          payload(unit, minute, Math.min(to, minute + 10)),
          { qos: 1 },
        ),
      ),
    );
  }
}

/** The journal of each unit, without ids. */
function journalOf(records: MemoryRecords) {
  return UNITS.map((unit) =>
    records.journal
      .filter(({ alarm }) => alarm.unit === unit)
      .map(({ atMs, event, to, alarm }) => ({
        atMs,
        event,
        to,
        kind: alarm.kind,
        priority: alarm.priority,
        raisedAtMs: alarm.raisedAtMs,
        headline: alarm.headline,
        revision: alarm.revision,
      })),
  );
}

async function judgedAll(run: Running): Promise<void> {
  await eventually(() => expect(run.ingest.pending()).toBe(0));
}

function outcome(run: Running, records: MemoryRecords) {
  const conditions = UNITS.map((unit) => run.ingest.condition('harbour-mall', unit));
  return { journal: journalOf(records), conditions, episodes: [...records.episodes.values()] };
}

function emptyStores(): Stores {
  return { records: new MemoryRecords(), telemetry: new MemoryTelemetry() };
}

async function uninterrupted(): Promise<ReturnType<typeof outcome>> {
  const stores = emptyStores();
  const run = await runIngest(stores);
  await publishWeather(run, stores);
  await publish(run, stores, 0, READINGS);
  await judgedAll(run);
  return outcome(run, stores.records);
}

describe('a restart', () => {
  it('cuts a history with several alarms and with weather', async () => {
    const { journal, conditions } = await uninterrupted();
    const [first, second] = journal;
    expect(first?.map(({ event }) => event)).toContain('escalate');
    expect(first?.filter(({ event }) => event === 'clear').length).toBeGreaterThanOrEqual(2);
    expect(second?.length).toBe(first?.length);
    expect(conditions[0]?.vapourPressureExcessPascals).not.toBeNull();
  });

  it.each([5, 61, 93, 130, 187, 239])(
    'after minute %i ends where an uninterrupted run ends',
    async (cut) => {
      const stores = emptyStores();
      const before = await runIngest(stores);
      await publishWeather(before, stores);
      await publish(before, stores, 0, Math.max(0, cut - 25));
      await judgedAll(before);
      // From here on readings are stored and acknowledged, and their judgement never arrives.
      stores.records.beforeJudgement = async () => {
        throw new StoreError('STORE_UNAVAILABLE', 'about to be killed');
      };
      await publish(before, stores, Math.max(0, cut - 25), cut);
      const left = snapshot(stores);
      const after = await runIngest(left);
      expect(after.ingest.pending()).toBe(0);
      await publish(after, left, cut, READINGS);
      await judgedAll(after);
      expect(outcome(after, left.records)).toEqual(await uninterrupted());
    },
  );

  it('judges everything that was stored but never judged before it listens', async () => {
    const stores = emptyStores();
    const before = await runIngest(stores);
    await publishWeather(before, stores);
    await publish(before, stores, 0, READINGS);
    const left = { records: new MemoryRecords(), telemetry: snapshot(stores).telemetry };
    const after = await runIngest(left);
    expect(after.ingest.pending()).toBe(0);
    expect(outcome(after, left.records)).toEqual(await uninterrupted());
  });

  it('saves every watch when it ends in order', async () => {
    const stores = emptyStores();
    const run = await runIngest(stores);
    await publish(run, stores, 0, 30);
    await run.ingest.close();
    const saved = [...stores.records.checkpointsByUnit.values()];
    expect(saved.map(({ unit, judgedThroughMs }) => [unit, judgedThroughMs]).sort()).toEqual(
      UNITS.map((unit) => [unit, NOW_MS - (READINGS - 29) * MINUTE_MS]),
    );
  });
});
