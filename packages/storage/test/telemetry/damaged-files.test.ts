import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { StoreError } from '../../src/ports/store-error.ts';
import type { RangeQuery, TelemetryStore } from '../../src/ports/telemetry-store.ts';
import { openTelemetryStore } from '../../src/sqlite/telemetry/open-telemetry-store.ts';
import { packReadings } from '../../src/sqlite/telemetry/packed-readings.ts';
import { TelemetryWriter } from '../../src/sqlite/telemetry/telemetry-writer.ts';
import {
  FIRST_FILE,
  MINUTE_MS,
  MONDAY_MS,
  minutes,
  temporaryFolder,
  WEEK_MS,
} from './temporary-folder.ts';

// Two threads that load TypeScript start in a second; on a busy machine they take longer.
vi.setConfig({ testTimeout: 30_000 });

const open: TelemetryStore[] = [];

afterEach(async () => {
  for (const store of open.splice(0)) await store.close();
});

async function opened(folder: string): Promise<TelemetryStore> {
  const store = await openTelemetryStore({ folder });
  open.push(store);
  return store;
}

/** Two weeks with a reading a minute for an hour, the second with a younger unit. */
function twoWeeks(): string {
  const folder = temporaryFolder();
  const writer = new TelemetryWriter({ folder });
  const readings = [...minutes(MONDAY_MS, 60, 2), ...minutes(MONDAY_MS + WEEK_MS, 60)];
  writer.append(packReadings(readings));
  writer.close();
  return folder;
}

function hourFrom(fromMs: number): RangeQuery {
  const toMs = fromMs + 60 * MINUTE_MS;
  return { site: 'harbour-mall', unit: 'rtu-0', fromMs, toMs, channels: null, points: 100 };
}

async function failureOf(promise: Promise<unknown>): Promise<StoreError> {
  const error: unknown = await promise.then(
    () => null,
    (reason: unknown) => reason,
  );
  expect(error).toBeInstanceOf(StoreError);
  return error as StoreError;
}

const SPOILERS: readonly (readonly [string, (file: string) => void, RegExp])[] = [
  ['no database', (file) => writeFileSync(file, 'x'.repeat(10_000)), /damaged or no database/],
  ['a broken page', spoilPages, /damaged or no database/],
  ['another program’s', makeForeign, /database of another program/],
];

function spoilPages(file: string): void {
  const bytes = readFileSync(file);
  bytes.fill(0x5a, 4_096);
  writeFileSync(file, bytes);
}

function makeForeign(file: string): void {
  const db = new Database(file);
  db.pragma('application_id = 1');
  db.close();
}

describe('a week whose file is spoiled', () => {
  it.each(SPOILERS)(
    '(%s) is named, and other weeks are read and written',
    async (_what, spoil, words) => {
      const folder = twoWeeks();
      spoil(join(folder, FIRST_FILE));
      const store = await opened(folder);
      const failure = await failureOf(store.range(hourFrom(MONDAY_MS)));
      expect(failure.code).toBe('STORE_UNAVAILABLE');
      expect(failure.message).toContain(FIRST_FILE);
      expect(failure.message).toMatch(words);
      const fine = await store.range(hourFrom(MONDAY_MS + WEEK_MS));
      expect(fine.series[0]?.atMs).toHaveLength(60);
      expect((await store.latest()).map((one) => one.unit)).toEqual(['rtu-0']);
      const write = await failureOf(store.append(minutes(MONDAY_MS + MINUTE_MS / 2, 30)));
      expect(write.code).toBe('STORE_UNAVAILABLE');
      expect(write.message).toContain(FIRST_FILE);
      const later = minutes(MONDAY_MS + WEEK_MS + 60 * MINUTE_MS, 1);
      expect((await store.append(later)).storedValues).toBe(4);
    },
  );
});

describe('a newer file', () => {
  it('keeps the store from being opened, by name', async () => {
    const folder = twoWeeks();
    const db = new Database(join(folder, FIRST_FILE));
    db.pragma('user_version = 2');
    db.close();
    const failure = await failureOf(openTelemetryStore({ folder }));
    expect(failure.code).toBe('STORE_NEWER_SCHEMA');
    expect(failure.message).toContain(`${FIRST_FILE} has format 2`);
  });
});

describe('a file from before a channel was known', () => {
  it('is read as it is, and gets the channel when it is written', async () => {
    const folder = twoWeeks();
    const db = new Database(join(folder, FIRST_FILE));
    for (const column of ['p', 'p_min', 'p_max', 'p_sum', 'p_n']) {
      db.exec(`ALTER TABLE ${column === 'p' ? 'raw' : 'rollup'} DROP COLUMN "${column}"`);
    }
    db.close();
    const store = await opened(folder);
    expect((await store.range(hourFrom(MONDAY_MS))).series).toHaveLength(4);
    const one = { site: 'harbour-mall', unit: 'rtu-0', atMs: MONDAY_MS, channels: { p: 101_300 } };
    expect(await store.append([one])).toEqual({ storedValues: 1, duplicateValues: 0 });
    const series = (await store.range(hourFrom(MONDAY_MS))).series;
    expect(series.map((each) => each.channel)).toEqual(['rh', 't', 'leak', 'ia', 'p']);
  });
});

describe('a folder that cannot be made', () => {
  it('is named', async () => {
    const file = join(temporaryFolder(), 'file');
    writeFileSync(file, '');
    const failure = await failureOf(openTelemetryStore({ folder: join(file, 'data') }));
    expect(failure.code).toBe('STORE_UNAVAILABLE');
    expect(failure.message).toContain(join(file, 'data'));
  });
});

describe('a backup', () => {
  it('is refused into the store’s own folder', async () => {
    const folder = twoWeeks();
    const store = await opened(folder);
    expect((await failureOf(store.backup(join(folder, '.')))).code).toBe('STORE_BAD_INPUT');
  });
});
