import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { settingsFiles } from '../src/backup/settings-files.ts';
import { type DataFolder, openDataFolder } from '../src/data-folder.ts';
import { CommandFailure } from '../src/failure.ts';
import { checkBackupPlace, notePlace, PLACE_FILE, placeWarning } from '../src/readings-place.ts';

const INFLUX = { url: 'http://db.example:8086', token: 'top-secret', org: null, bucket: 'roofs' };

describe('where the readings of a data folder are', () => {
  let folder: DataFolder;
  beforeEach(() => {
    folder = openDataFolder(mkdtempSync(join(tmpdir(), 'lineside-place-')));
  });
  afterEach(() => rmSync(folder.root, { recursive: true }));

  const storeAWeek = (): void =>
    writeFileSync(join(folder.telemetry, 'telemetry-2026-11-23.db'), '');

  it('is nothing to tell of in a new folder, nor while it stays the same', () => {
    expect(placeWarning(folder, INFLUX)).toBeNull();
    notePlace(folder, INFLUX);
    expect(placeWarning(folder, INFLUX)).toBeNull();
    expect(checkBackupPlace(folder, INFLUX)).toBeNull();
    expect(settingsFiles(folder.root)).not.toContain(PLACE_FILE);
  });

  it('is told when an InfluxDB is named over weeks of SQLite, and a backup leaves them out', () => {
    storeAWeek();
    expect(placeWarning(folder, null)).toBeNull();
    expect(placeWarning(folder, INFLUX)).toMatch(/are in SQLite.*InfluxDB at http:\/\/db.example/);
    expect(checkBackupPlace(folder, INFLUX)).toMatch(/SQLite .* not in this backup/);
    expect(checkBackupPlace(folder, null)).toBeNull();
  });

  it('keeps a backup without the setting from being one without readings', () => {
    notePlace(folder, INFLUX);
    expect(() => checkBackupPlace(folder, null)).toThrow(CommandFailure);
    expect(() => checkBackupPlace(folder, null)).toThrow(/InfluxDB at http:\/\/db.example:8086, r/);
    expect(placeWarning(folder, null)).toMatch(/LINESIDE_INFLUX_URL/);
  });

  it('is told once when it changes for good, and never with the token', () => {
    notePlace(folder, INFLUX);
    const warning = placeWarning(folder, null);
    notePlace(folder, null);
    expect(placeWarning(folder, null)).toBeNull();
    expect(checkBackupPlace(folder, null)).toBeNull();
    expect(warning).not.toContain('top-secret');
  });

  it('is not noted where it is clear', () => {
    storeAWeek();
    notePlace(folder, null);
    expect(existsSync(join(folder.root, PLACE_FILE))).toBe(false);
  });
});
