import { existsSync, statfsSync, statSync } from 'node:fs';
import type Database from 'better-sqlite3';
import type { StoredWeek, StoreStatus } from '../../ports/store-upkeep.ts';
import { ALL_CHANNELS, channelAt, channelsIn } from './channel-mask.ts';
import { openForReading, weekFailure } from './open-week.ts';
import { QUARTER_MS } from './week.ts';
import { WeekArchive } from './week-archive.ts';

/** What one week's file tells about itself. */
interface WeekFigures {
  readonly units: readonly string[];
  readonly counts: readonly number[];
  readonly quarters: number;
  readonly oldestMs: number | null;
  readonly newestMs: number | null;
}

/**
 * How the files of a folder are, whether a server has them open or not. Counts come from rollups,
 * so that a year of a large fleet takes seconds. Never throws: what is in the way stands in
 * `failure`.
 */
export function sqliteStatus(folder: string, retentionDays: number): StoreStatus {
  const there = existsSync(folder);
  const archive = new WeekArchive(folder);
  const found = (there ? archive.weeks() : []).map((startMs) => weekOf(archive, startMs));
  const figures = found.flatMap((one) => (one.figures === null ? [] : [one.figures]));
  const counts = channelsIn(ALL_CHANNELS).map((channel) =>
    figures.reduce((sum, one) => sum + (one.counts[channel] ?? 0), 0),
  );
  const times = figures.flatMap(({ oldestMs, newestMs }) => [oldestMs, newestMs]);
  const known = times.filter((atMs) => atMs !== null);
  return {
    kind: 'sqlite',
    where: folder,
    generation: null,
    version: null,
    failure: there ? null : `there is no ${folder} yet: run 'lineside store prepare'`,
    retention: {
      wantedDays: retentionDays,
      setDays: retentionDays,
      words: `is as wanted: 'lineside serve' deletes weeks that ended ${retentionDays} days ago`,
    },
    units: new Set(figures.flatMap((one) => one.units)).size,
    values: counts.reduce((sum, one) => sum + one, 0),
    readings: Math.max(0, ...counts),
    oldestMs: known.length === 0 ? null : Math.min(...known),
    newestMs: known.length === 0 ? null : Math.max(...known),
    bytes: found.reduce((sum, { week }) => sum + week.bytes, 0),
    freeBytes: there ? freeBytesOf(folder) : null,
    sums: {
      beforeMs: null,
      lateDays: 0,
      words: 'are in the file of their week, and up to date with each commit',
    },
    weeks: found.map(({ week }) => week),
    lacks: {},
  };
}

/** Bytes that the disk of a folder has free for us. */
function freeBytesOf(folder: string): number {
  const { bavail, bsize } = statfsSync(folder);
  return bavail * bsize;
}

interface FoundWeek {
  readonly week: StoredWeek;
  readonly figures: WeekFigures | null;
}

function weekOf(archive: WeekArchive, startMs: number): FoundWeek {
  const path = archive.path(startMs);
  const bytes = ['', '-wal'].reduce((sum, end) => sum + sizeOf(`${path}${end}`), 0);
  const week = { startMs, bytes, units: 0, readings: 0, quarters: 0, failure: null };
  try {
    const db = openForReading(path);
    if (db === null) return { week, figures: null };
    try {
      const figures = figuresOf(db);
      const { units, counts, quarters } = figures;
      const readings = Math.max(0, ...counts);
      return { week: { ...week, units: units.length, readings, quarters }, figures };
    } finally {
      db.close();
    }
  } catch (error) {
    return { week: { ...week, failure: weekFailure(error, path).message }, figures: null };
  }
}

function sizeOf(path: string): number {
  return statSync(path, { throwIfNoEntry: false })?.size ?? 0;
}

/** The newest quarter of each unit has no rollup, so that its rows are counted. */
function figuresOf(db: Database.Database): WeekFigures {
  const names = new Set(
    db.prepare<[], string>("SELECT name FROM pragma_table_info('raw')").pluck().all(),
  );
  const each = (text: (name: string) => string): string =>
    channelsIn(ALL_CHANNELS)
      .map((channel) => (names.has(channelAt(channel)) ? text(channelAt(channel)) : '0'))
      .join(', ');
  const row = (sql: string): (number | null)[] =>
    db.prepare<[], (number | null)[]>(sql).raw().get() ?? [];
  const summed = row(`SELECT ${each((name) => `sum("${name}_n")`)} FROM rollup`);
  const open = row(`SELECT ${each((name) => `count("${name}")`)} FROM unit
    JOIN raw ON raw.quarter = unit.newest_quarter AND raw.unit_id = unit.id`);
  const atMs = `quarter * ${QUARTER_MS} + offset_ms`;
  const [oldestMs = null, newestMs = null] = row(`SELECT
    (SELECT min(${atMs}) FROM raw WHERE quarter = (SELECT min(quarter) FROM raw)),
    (SELECT max(${atMs}) FROM raw WHERE quarter = (SELECT max(quarter) FROM raw))`);
  return {
    units: db.prepare<[], string>("SELECT site || '/' || unit FROM unit").pluck().all(),
    counts: summed.map((count, channel) => (count ?? 0) + (open[channel] ?? 0)),
    quarters: row('SELECT count(*) FROM rollup')[0] ?? 0,
    oldestMs,
    newestMs,
  };
}
