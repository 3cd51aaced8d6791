import { mkdirSync, mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openRecordStore } from '../../src/index.ts';
import { migrate, RECORD_MIGRATIONS } from '../../src/sqlite/records/migrate.ts';
import type { Migration } from '../../src/sqlite/records/migrations/migration.ts';
import { openDatabase } from '../../src/sqlite/records/open-database.ts';
import { createRecordAdapter } from '../../src/sqlite/records/record-adapter.ts';
import { SIGN_IN_FAILURES_MOST_NAMES } from '../../src/sqlite/records/sign-in-failure-records.ts';

let root: string;
let file: string;
const opened: { close(): unknown }[] = [];

beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'record-file-'));
  file = join(root, 'data', 'records.db');
});

afterEach(() => {
  for (const one of opened.splice(0)) one.close();
  rmSync(root, { recursive: true, force: true });
});

function database(): Database.Database {
  const db = openDatabase(file);
  opened.push(db);
  return db;
}

function versionOf(db: Database.Database): unknown {
  return db.pragma('user_version', { simple: true });
}

const NEWEST = RECORD_MIGRATIONS.length;
const NEXT: Migration = {
  version: NEWEST + 1,
  sql: 'CREATE TABLE later (id INTEGER PRIMARY KEY) STRICT',
};
const BROKEN: Migration = {
  version: NEWEST + 2,
  sql: 'CREATE TABLE half (id INTEGER); SELECT nonsense',
};

describe('the file of the records', () => {
  it('is durable at each commit and readable by its owner alone', () => {
    const db = database();
    expect(db.pragma('journal_mode', { simple: true })).toBe('wal');
    expect(db.pragma('synchronous', { simple: true })).toBe(2);
    expect(db.pragma('foreign_keys', { simple: true })).toBe(1);
    expect(db.pragma('busy_timeout', { simple: true })).toBe(5_000);
    for (const name of [file, `${file}-wal`]) expect(statSync(name).mode & 0o777).toBe(0o600);
  });

  it('has a journal of alarms to which lines are only added', () => {
    const db = database();
    db.exec(`
      INSERT INTO alarms VALUES ('a1', 's', 'u', 'leakage', 1, 1, 5, NULL, 1, '{}', 0);
      INSERT INTO alarm_journal VALUES (1, 'a1', 5, 'raise', NULL, 'unacknowledged', 'w', NULL, '{}');
    `);
    expect(() => db.exec("UPDATE alarm_journal SET note = 'x'")).toThrow(/append-only/);
    expect(() => db.exec('DELETE FROM alarm_journal')).toThrow(/append-only/);
    expect(() => db.exec("DELETE FROM alarms WHERE id = 'a1'")).toThrow(/FOREIGN KEY/);
  });

  it('that is no database is refused with its name', async () => {
    const wrong = join(root, 'notes.txt');
    writeFileSync(wrong, 'not a database, but long enough to look like one '.repeat(20));
    await expect(openRecordStore({ file: wrong })).rejects.toMatchObject({
      code: 'STORE_UNAVAILABLE',
      message: expect.stringContaining('notes.txt'),
    });
  });
});

describe('migrations', () => {
  it('are numbered from 1 without a gap', () => {
    expect(RECORD_MIGRATIONS.map(({ version }) => version)).toEqual(
      RECORD_MIGRATIONS.map((_, index) => index + 1),
    );
  });

  it('run once each, and later ones on what is there', () => {
    const db = database();
    expect(versionOf(db)).toBe(RECORD_MIGRATIONS.length);
    db.exec("INSERT INTO fleet_document VALUES (1, '{}')");
    migrate(db, file, [...RECORD_MIGRATIONS, NEXT]);
    migrate(db, file, [...RECORD_MIGRATIONS, NEXT]);
    expect(versionOf(db)).toBe(NEWEST + 1);
    expect(db.prepare('SELECT document FROM fleet_document').pluck().get()).toBe('{}');
    expect(db.prepare('SELECT count(*) FROM later').pluck().get()).toBe(0);
  });

  it('keep alarms of before alarms could be withdrawn', () => {
    mkdirSync(join(root, 'data'));
    const old = new Database(file);
    migrate(old, file, RECORD_MIGRATIONS.slice(0, 1));
    old.exec(`
      INSERT INTO alarms VALUES ('a1', 's', 'u', 'leakage', 1, 1, 5, NULL, 1, '{"id":"a1"}');
      INSERT INTO alarm_journal VALUES
        (1, 'a1', 5, 'raise', NULL, 'unacknowledged', 'w', NULL, '{"id":"a1"}');
    `);
    old.close();
    const adapter = createRecordAdapter({ file });
    opened.push(adapter);
    const alarm = { id: 'a1', withdrawn: false };
    expect(adapter.alarm('a1')).toEqual(alarm);
    expect(adapter.alarms({ limit: 1, cursor: null }).items).toEqual([alarm]);
    expect(adapter.newestAlarms({ site: 's', unit: 'u' })).toEqual([alarm]);
    expect(adapter.journalOf('a1')).toMatchObject([{ alarm }]);
  });

  it('leave the steps before a broken one, and nothing of it', () => {
    const db = database();
    expect(() => migrate(db, file, [...RECORD_MIGRATIONS, NEXT, BROKEN])).toThrow(/nonsense/);
    expect(versionOf(db)).toBe(NEWEST + 1);
    const tables = db.prepare("SELECT name FROM sqlite_schema WHERE name = 'half'").all();
    expect(tables).toEqual([]);
  });

  it('of a newer program are refused and left alone', async () => {
    const db = database();
    migrate(db, file, [...RECORD_MIGRATIONS, NEXT]);
    await expect(openRecordStore({ file })).rejects.toMatchObject({
      code: 'STORE_NEWER_SCHEMA',
      message: expect.stringMatching(/records\.db was written by a newer version.*schema \d/),
    });
    expect(versionOf(db)).toBe(NEWEST + 1);
  });

  it('run by two programs at once make one schema', async () => {
    const stores = await Promise.all([openRecordStore({ file }), openRecordStore({ file })]);
    expect(await Promise.all(stores.map((store) => store.countPeople()))).toEqual([0, 0]);
    await Promise.all(stores.map((store) => store.close()));
  });
});

describe('a write', () => {
  it('waits for another program that writes', async () => {
    const store = await openRecordStore({ file });
    const db = database();
    db.exec('BEGIN IMMEDIATE');
    const write = store.setPresence({ site: 's', unit: 'u', online: true, sinceMs: 1 });
    db.exec("INSERT INTO fleet_document VALUES (1, '{}')");
    db.exec('COMMIT');
    await write;
    expect(await store.loadFleet()).toEqual({});
    expect(await store.presences()).toHaveLength(1);
    await store.close();
  });
});

describe('failed sign-ins', () => {
  it('of invented names do not fill the disk', () => {
    const adapter = createRecordAdapter({ file });
    opened.push(adapter);
    const db = database();
    const add = db.prepare('INSERT INTO sign_in_failures VALUES (?, 1, ?)');
    db.transaction(() => {
      for (let at = 0; at < SIGN_IN_FAILURES_MOST_NAMES; at++) add.run(`name-${at}`, at);
    })();
    adapter.setSignInFailures('one more', { count: 1, lastAtMs: 1e6 });
    const count = db.prepare('SELECT count(*) FROM sign_in_failures').pluck().get();
    expect(count).toBe(SIGN_IN_FAILURES_MOST_NAMES);
    expect(adapter.signInFailures('name-0')).toEqual({ count: 0, lastAtMs: 0 });
    expect(adapter.signInFailures('name-1')).toEqual({ count: 1, lastAtMs: 1 });
  });
});
