import { inflateSync } from 'node:zlib';
import type { Database } from 'better-sqlite3';
import type {
  DirtyMark,
  DirtyUnit,
  ReplayRecords,
  SettingsVersion,
} from '../../ports/record-store.ts';
import { toJson } from './json-column.ts';
import { snapshotTimes } from './snapshot-writer.ts';
import type { Synchronous } from './synchronous.ts';

interface SnapshotRow {
  readonly through_ms: number;
  readonly deflated_state: Buffer;
}

interface SettingsRow {
  readonly site: string;
  readonly unit: string;
  readonly from_ms: number;
  readonly settings: string;
}

export function replayRecords(db: Database): Synchronous<ReplayRecords> {
  const before = db.prepare<[string, string, number], SnapshotRow>(
    `SELECT through_ms, deflated_state FROM watch_snapshots
     WHERE site = ? AND unit = ? AND through_ms < ? ORDER BY through_ms DESC LIMIT 1`,
  );
  return {
    ...markRecords(db),
    snapshotBefore: ({ site, unit }, beforeMs) => {
      const row = before.get(site, unit, beforeMs);
      if (row === undefined) return null;
      const state: unknown = JSON.parse(inflateSync(row.deflated_state).toString());
      return { site, unit, throughMs: row.through_ms, state };
    },
    snapshotTimes: snapshotTimes(db),
    ...settingsRecords(db),
  };
}

function markRecords(db: Database): Synchronous<Pick<ReplayRecords, 'markDirty' | 'dirtyUnits'>> {
  const count = db
    .prepare<[string, string], number>(
      `INSERT INTO dirty_generations (site, unit, generation) VALUES (?, ?, 1)
       ON CONFLICT (site, unit) DO UPDATE SET generation = generation + 1
       RETURNING generation`,
    )
    .pluck();
  const put = db.prepare<[DirtyUnit]>(
    `INSERT INTO dirty_units (site, unit, from_ms, generation)
     VALUES (@site, @unit, @fromMs, @generation)
     ON CONFLICT (site, unit) DO UPDATE SET
       from_ms = min(from_ms, excluded.from_ms), generation = excluded.generation`,
  );
  const all = db.prepare<[], DirtyUnit>(
    'SELECT site, unit, from_ms AS fromMs, generation FROM dirty_units ORDER BY site, unit',
  );
  const mark = db.transaction((marks: readonly DirtyMark[]) => {
    for (const { site, unit, fromMs } of marks) {
      put.run({ site, unit, fromMs, generation: count.get(site, unit) ?? 1 });
    }
  });
  return { markDirty: (marks) => mark.immediate(marks), dirtyUnits: () => all.all() };
}

type SettingsPart = Pick<ReplayRecords, 'settingsVersions' | 'addSettingsVersions'>;

function settingsRecords(db: Database): Synchronous<SettingsPart> {
  const all = db.prepare<[], SettingsRow>(
    'SELECT * FROM settings_versions ORDER BY site, unit, from_ms',
  );
  const put = db.prepare<[SettingsRow]>(
    `INSERT INTO settings_versions (site, unit, from_ms, settings)
     VALUES (@site, @unit, @from_ms, @settings)
     ON CONFLICT (site, unit, from_ms) DO UPDATE SET settings = excluded.settings`,
  );
  const add = db.transaction((versions: readonly SettingsVersion[]) => {
    for (const { site, unit, fromMs, settings } of versions) {
      put.run({ site, unit, from_ms: fromMs, settings: toJson('Settings', settings) });
    }
  });
  return {
    settingsVersions: () =>
      all.all().map(({ site, unit, from_ms: fromMs, settings }) => ({
        site,
        unit,
        fromMs,
        settings: JSON.parse(settings),
      })),
    addSettingsVersions: (versions) => add.immediate(versions),
  };
}
