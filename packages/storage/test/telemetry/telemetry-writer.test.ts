import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Reading } from '@lineside/readings';
import Database from 'better-sqlite3';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AppendReport } from '../../src/ports/telemetry-store.ts';
import { packReadings, unpackReadings } from '../../src/sqlite/telemetry/packed-readings.ts';
import { TelemetryReader } from '../../src/sqlite/telemetry/telemetry-reader.ts';
import { APPEND_MOST_WEEKS, TelemetryWriter } from '../../src/sqlite/telemetry/telemetry-writer.ts';
import { QUARTER_MS } from '../../src/sqlite/telemetry/week.ts';
import {
  FIRST_FILE,
  MINUTE_MS,
  MONDAY_MS,
  minutes,
  temporaryFolder,
  WEEK_MS,
} from './temporary-folder.ts';

function append(writer: TelemetryWriter, readings: readonly Reading[]): AppendReport {
  return writer.append(packReadings(readings));
}

function stored(folder: string, unit = 'rtu-0'): Reading[] {
  const reader = new TelemetryReader({ folder });
  const query = { site: 'harbour-mall', unit, fromMs: 0, toMs: Date.UTC(9999, 0), limit: 1e6 };
  const readings = unpackReadings(reader.readings(query).value);
  reader.close();
  return readings;
}

/** Enough to need many pages. */
const LARGE = minutes(MONDAY_MS, 300, 20);
const FEW_PAGES = 30;
const MANY_PAGES = 1_000_000;

describe('a full disk', () => {
  it('keeps nothing of the batch, and all of it when there is space again', () => {
    const folder = temporaryFolder();
    const writer = new TelemetryWriter({ folder });
    const small = minutes(MONDAY_MS, 2, 20);
    append(writer, small);
    writer.limitPages(FEW_PAGES);
    for (let attempt = 0; attempt < 3; attempt++) {
      expect(() => append(writer, LARGE)).toThrow(
        expect.objectContaining({
          code: 'STORE_FULL',
          message: expect.stringContaining(FIRST_FILE),
        }),
      );
      expect(stored(folder)).toHaveLength(2);
    }
    writer.limitPages(MANY_PAGES);
    expect(append(writer, LARGE)).toEqual({ storedValues: 298 * 80, duplicateValues: 2 * 80 });
    expect(stored(folder)).toHaveLength(300);
    expect(rollupFaults(folder)).toEqual([]);
    writer.close();
  });

  it('keeps nothing in other weeks when one of them is full', () => {
    const folder = temporaryFolder();
    const writer = new TelemetryWriter({ folder });
    writer.limitPages(FEW_PAGES);
    const early = minutes(MONDAY_MS - WEEK_MS, 5, 20);
    const both = [...early, ...LARGE];
    expect(() => append(writer, both)).toThrow(expect.objectContaining({ code: 'STORE_FULL' }));
    expect(stored(folder)).toEqual([]);
    writer.limitPages(MANY_PAGES);
    expect(append(writer, both).storedValues).toBe(both.length * 4);
    writer.close();
  });
});

describe('files', () => {
  it('are one a UTC week, from Monday on', () => {
    const folder = temporaryFolder();
    const writer = new TelemetryWriter({ folder });
    append(writer, [...minutes(MONDAY_MS - MINUTE_MS, 2), ...minutes(MONDAY_MS + WEEK_MS, 1)]);
    writer.close();
    expect(readdirSync(folder).sort()).toEqual([
      'telemetry-2025-12-29.db',
      FIRST_FILE,
      'telemetry-2026-01-12.db',
    ]);
  });

  it('close when more than a few are open, and open again', () => {
    const folder = temporaryFolder();
    const writer = new TelemetryWriter({ folder });
    const batch = Array.from({ length: 12 }, (_, week) => minutes(MONDAY_MS + week * WEEK_MS, 20));
    append(writer, batch.flat());
    const logs = readdirSync(folder).filter((name) => name.endsWith('-wal'));
    expect(logs).toHaveLength(4);
    for (const part of batch) expect(append(writer, part).duplicateValues).toBe(80);
    expect(stored(folder)).toHaveLength(240);
    writer.close();
  });

  it('are refused beyond a number of weeks a batch', () => {
    const folder = temporaryFolder();
    const writer = new TelemetryWriter({ folder });
    const weeks = Array.from({ length: APPEND_MOST_WEEKS + 1 }, (_, week) => week);
    const batch = weeks.flatMap((week) => minutes(MONDAY_MS + week * WEEK_MS, 1));
    expect(() => append(writer, batch)).toThrow(/121 weeks, more than 120/);
    expect(readdirSync(folder)).toEqual([]);
    writer.close();
  });

  it('are deleted with what SQLite keeps beside them, and nothing else is', () => {
    const folder = temporaryFolder();
    const writer = new TelemetryWriter({ folder });
    append(writer, [...minutes(MONDAY_MS, 5), ...minutes(MONDAY_MS + WEEK_MS, 5)]);
    writer.dropBefore(MONDAY_MS + WEEK_MS);
    expect(existsSync(join(folder, FIRST_FILE))).toBe(false);
    expect(readdirSync(folder).every((name) => name.includes('2026-01-12'))).toBe(true);
    expect(stored(folder)).toHaveLength(5);
    writer.close();
  });
});

describe('rollups', () => {
  it('equal what their raw rows come to, whatever arrives in whatever order', () => {
    const readings = fc.array(
      fc.record({
        site: fc.constant('harbour-mall'),
        unit: fc.constantFrom('rtu-0', 'rtu-1'),
        atMs: fc.integer({ min: 0, max: 100 }).map((step) => MONDAY_MS + step * MINUTE_MS),
        channels: fc.dictionary(
          fc.constantFrom('rh', 't', 'leak'),
          fc.integer({ min: -9, max: 9 }),
          {
            minKeys: 1,
          },
        ),
      }),
      { maxLength: 40, size: 'max' },
    );
    const steps = fc.array(fc.tuple(readings, fc.boolean()), { maxLength: 6 });
    fc.assert(
      fc.property(steps, (given) => {
        const folder = temporaryFolder();
        let writer = new TelemetryWriter({ folder });
        for (const [batch, restart] of given) {
          append(writer, batch);
          if (!restart) continue;
          writer.close();
          writer = new TelemetryWriter({ folder });
        }
        writer.close();
        expect(rollupFaults(folder)).toEqual([]);
      }),
      { numRuns: 40 },
    );
  });
});

/** Closed quarters of the first week whose rollup is missing, surplus or wrong. */
function rollupFaults(folder: string): unknown[] {
  const file = join(folder, FIRST_FILE);
  if (!existsSync(file)) return [];
  const db = new Database(file, { readonly: true });
  const sides = ['rh', 't', 'leak'].map((name) => {
    const raw = `SELECT '${name}', unit_id, quarter, min(${name}) AS a, max(${name}), sum(${name}),
      count(${name}) AS n FROM raw JOIN unit ON id = unit_id
      WHERE quarter < newest_quarter GROUP BY unit_id, quarter HAVING n > 0`;
    const rolled = `SELECT '${name}', unit_id, quarter, ${name}_min, ${name}_max, ${name}_sum,
      ${name}_n FROM rollup WHERE ${name}_n > 0`;
    return `SELECT * FROM (SELECT * FROM (${raw}) EXCEPT ${rolled})
      UNION ALL SELECT * FROM (${rolled} EXCEPT SELECT * FROM (${raw}))`;
  });
  const wrongNewest = `SELECT 'newest', id, newest_quarter, 0, 0, 0, 0 FROM unit WHERE
    newest_quarter IS NOT (SELECT max(quarter) FROM raw WHERE unit_id = id)`;
  const faults = db.prepare([...sides, wrongNewest].join(' UNION ALL ')).all();
  db.close();
  return faults;
}

it('a quarter is fifteen minutes, as files on disk have it', () => {
  expect(QUARTER_MS).toBe(15 * MINUTE_MS);
});
