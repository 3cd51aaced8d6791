import type { Reading } from '@lineside/readings';
import { describe, expect, it } from 'vitest';
import { AppendBatch } from '../../src/influxdb/append-batch.ts';
import { INFLUX_END_MS } from '../../src/influxdb/influx-options.ts';
import { lookupsFor, spansOf, type UnitSpan } from '../../src/influxdb/stored-channels.ts';
import { channelIndex } from '../../src/sqlite/telemetry/channel-mask.ts';
import { packReadings } from '../../src/sqlite/telemetry/packed-readings.ts';

const MINUTE_MS = 60_000;
const HOUR_MS = 3_600_000;
const AT = Date.UTC(2026, 0, 5);

function one(atMs: number, channels: Reading['channels'], unit = 'rtu-01'): Reading {
  return { site: 'mill', unit, atMs, channels };
}

function batchOf(...readings: Reading[]): AppendBatch {
  return new AppendBatch(packReadings(readings));
}

describe('AppendBatch', () => {
  it('writes a line a reading, and only what is new of the second of one time', () => {
    const batch = batchOf(one(AT, { rh: 1 }), one(AT, { rh: 2, leak: 0.5 }), one(AT, { rh: 3 }));
    expect(batch.lines()).toEqual({
      lines: [
        `reading,site=mill,unit=rtu-01 rh=1 ${AT}`,
        `reading,site=mill,unit=rtu-01 leak=0.5 ${AT}`,
      ],
      report: { storedValues: 2, duplicateValues: 2 },
    });
  });

  it('leaves out what is stored', () => {
    const batch = batchOf(one(AT, { rh: 1, t: 2 }), one(AT + 1, { rh: 1 }));
    batch.units[0]?.seen.set(AT, 1 << (channelIndex('rh') ?? -1));
    const { lines, report } = batch.lines();
    expect(lines).toEqual([
      `reading,site=mill,unit=rtu-01 t=2 ${AT}`,
      `reading,site=mill,unit=rtu-01 rh=1 ${AT + 1}`,
    ]);
    expect(report).toEqual({ storedValues: 2, duplicateValues: 1 });
  });

  it('names the times up to the mark of each unit', () => {
    const batch = batchOf(
      one(AT + 2, { rh: 1 }),
      one(AT, { rh: 1 }),
      one(AT + 3, { rh: 1 }),
      one(AT, { rh: 1 }, 'new'),
    );
    const times = batch.timesUpTo(({ unit }) => (unit === 'new' ? -1 : AT + 2));
    expect([...times].map(([{ unit }, list]) => [unit, list])).toEqual([['rtu-01', [AT, AT + 2]]]);
    expect(batch.units.map((unit) => [unit.oldestMs, unit.newestMs])).toEqual([
      [AT, AT + 3],
      [AT, AT],
    ]);
  });

  it('refuses a time that the server cannot keep, naming the reading', () => {
    expect(() => batchOf(one(AT, { rh: 1 }), one(INFLUX_END_MS, { rh: 1 }))).toThrow(
      'Reading 1 of the batch: InfluxDB keeps no time after 2262',
    );
  });
});

describe('questions about what is stored', () => {
  const batch = batchOf(...['a', 'b', 'c'].map((unit) => one(AT, { rh: 1 }, unit)));
  const [a, b, c] = batch.units;
  if (a === undefined || b === undefined || c === undefined) throw new Error('three units');

  it('join times that lie together, and stay short', () => {
    const day = Array.from({ length: 3 * 24 * 60 }, (_, minute) => AT + minute * MINUTE_MS);
    const spans = spansOf(a, [...day, AT + 30 * 24 * HOUR_MS]);
    expect(spans).toHaveLength(4);
    for (const { firstMs, lastMs } of spans) expect(lastMs - firstMs).toBeLessThan(25 * HOUR_MS);
    const covered = (atMs: number): boolean =>
      spans.some(({ firstMs, lastMs }) => firstMs <= atMs && atMs <= lastMs);
    expect(day.every(covered)).toBe(true);
    expect(spansOf(a, [])).toEqual([]);
  });

  it('are put once for units whose times lie in the same hours', () => {
    const spans: UnitSpan[] = [
      { unit: a, firstMs: AT + 5, lastMs: AT + 9 },
      { unit: b, firstMs: AT + 1, lastMs: AT + 7 },
      { unit: c, firstMs: AT + 3 * HOUR_MS, lastMs: AT + 3 * HOUR_MS },
    ];
    expect(lookupsFor(spans)).toEqual([
      { units: [a, b], fromMs: AT + 1, toMs: AT + 10 },
      { units: [c], fromMs: AT + 3 * HOUR_MS, toMs: AT + 3 * HOUR_MS + 1 },
    ]);
  });
});
