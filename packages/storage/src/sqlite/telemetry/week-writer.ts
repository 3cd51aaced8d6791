import type Database from 'better-sqlite3';
import { type ChannelMask, channelAt, channelsIn } from './channel-mask.ts';
import { MaskStatements, type Row } from './mask-statements.ts';
import type { PackedUnit } from './packed-readings.ts';
import { QuarterTotals } from './quarter-totals.ts';
import { QUARTER_MS } from './week.ts';

interface FoundUnit {
  readonly id: number;
  readonly channels: number;
  readonly newestQuarter: number;
}

/** What the writer remembers of a unit in one file. */
export interface UnitState {
  readonly id: number;
  /** Channels with any value in this file. */
  channels: ChannelMask;
  /** Number of the newest quarter with a row, -1 without rows. */
  newestQuarter: number;
  readonly totals: QuarterTotals;
  /** Whether `totals` has every value of the newest quarter; not so after a restart. */
  totalsComplete: boolean;
  /** Older quarters that got values in this transaction. */
  readonly late: Set<number>;
}

/**
 * Writes one week's file. Between `begin` and `commit` every row goes in with its rollups: a
 * quarter is rolled up when the unit's first row of a later quarter arrives, from totals kept in
 * memory or, when those are incomplete, from its rows; late rows roll their quarter up again.
 */
export class WeekWriter {
  readonly #db: Database.Database;
  readonly #begin: Database.Statement<[]>;
  readonly #commit: Database.Statement<[]>;
  readonly #rollback: Database.Statement<[]>;
  readonly #dataVersion: Database.Statement<[], number>;
  readonly #findUnit: Database.Statement<[string, string], FoundUnit>;
  readonly #addUnit: Database.Statement<[string, string]>;
  readonly #saveUnit: Database.Statement<[number, number, number]>;
  readonly #insert: MaskStatements;
  readonly #stored: MaskStatements;
  readonly #fill: MaskStatements;
  readonly #writeRollup: MaskStatements;
  readonly #rollUp: MaskStatements;
  readonly #units = new Map<string, UnitState>();
  readonly #touchedLate = new Set<UnitState>();
  #seenDataVersion = -1;
  readonly #parameters: (number | null)[] = [];
  /** Channel values that were there already, in this transaction. */
  duplicateValues = 0;
  /** Channel values that were new, in this transaction. */
  storedValues = 0;

  constructor(db: Database.Database) {
    this.#db = db;
    this.#begin = db.prepare('BEGIN IMMEDIATE');
    this.#commit = db.prepare('COMMIT');
    this.#rollback = db.prepare('ROLLBACK');
    this.#dataVersion = db.prepare<[], number>('PRAGMA data_version').pluck();
    this.#findUnit = db.prepare(
      'SELECT id, channels, newest_quarter AS newestQuarter FROM unit WHERE site = ? AND unit = ?',
    );
    this.#addUnit = db.prepare(
      'INSERT INTO unit (site, unit, channels, newest_quarter) VALUES (?, ?, 0, -1)',
    );
    this.#saveUnit = db.prepare('UPDATE unit SET channels = ?, newest_quarter = ? WHERE id = ?');
    this.#insert = new MaskStatements((mask) => db.prepare<unknown[], Row>(insertSql(mask)));
    this.#stored = new MaskStatements((mask) => db.prepare<unknown[], Row>(storedSql(mask)).raw());
    this.#fill = new MaskStatements((mask) => db.prepare<unknown[], Row>(fillSql(mask)));
    this.#writeRollup = new MaskStatements((mask) =>
      db.prepare<unknown[], Row>(writeRollupSql(mask)),
    );
    this.#rollUp = new MaskStatements((mask) => db.prepare<unknown[], Row>(rollUpSql(mask)));
  }

  begin(): void {
    this.#begin.run();
    this.duplicateValues = 0;
    this.storedValues = 0;
    // Another program that wrote to the file made what is remembered of it wrong.
    const version = this.#dataVersion.get() ?? 0;
    if (version !== this.#seenDataVersion) this.#forget();
    this.#seenDataVersion = version;
  }

  /** What is remembered of the unit; adds it to the file when it is new there. */
  unit(name: PackedUnit): UnitState {
    const key = `${name.site}/${name.unit}`;
    const known = this.#units.get(key);
    if (known !== undefined) return known;
    const stored = this.#findUnit.get(name.site, name.unit);
    const id = stored?.id ?? Number(this.#addUnit.run(name.site, name.unit).lastInsertRowid);
    const state: UnitState = {
      id,
      channels: stored?.channels ?? 0,
      newestQuarter: stored?.newestQuarter ?? -1,
      totals: new QuarterTotals(),
      totalsComplete: false,
      late: new Set(),
    };
    this.#units.set(key, state);
    return state;
  }

  /** Stores one row: `mask` says which channels' values stand in `rows` from `at` on. */
  add(unit: UnitState, atMs: number, mask: ChannelMask, rows: Float64Array, at: number): void {
    const count = channelsIn(mask).length;
    const parameters = this.#parameters;
    parameters.length = 0;
    const quarter = Math.floor(atMs / QUARTER_MS);
    const offsetMs = atMs - quarter * QUARTER_MS;
    parameters.push(quarter, unit.id, offsetMs);
    for (let place = at; place < at + count; place++) parameters.push(rows[place] ?? null);
    const isNew = this.#insert.of(mask).run(parameters).changes === 1;
    const fresh = isNew ? mask : this.#merge([quarter, unit.id, offsetMs], mask, rows, at);
    const freshCount = isNew ? count : channelsIn(fresh).length;
    this.storedValues += freshCount;
    this.duplicateValues += count - freshCount;
    if (fresh === 0) return;
    const isNewer = quarter > unit.newestQuarter;
    if (isNewer) this.#openQuarter(unit, quarter);
    if (isNewer || (unit.channels | fresh) !== unit.channels) {
      unit.channels |= fresh;
      this.#saveUnit.run(unit.channels, unit.newestQuarter, unit.id);
    }
    if (quarter === unit.newestQuarter) {
      if (unit.totalsComplete) unit.totals.add(fresh, mask, rows, at);
    } else this.#isLate(unit, quarter);
  }

  /** Rolls up the late quarters; then the transaction is ready to commit. */
  finish(): void {
    for (const unit of this.#touchedLate) {
      const rollUp = this.#rollUp.of(unit.channels);
      for (const quarter of unit.late) rollUp.run(quarter, unit.id);
      unit.late.clear();
    }
    this.#touchedLate.clear();
  }

  commit(): void {
    this.#commit.run();
  }

  /** Undoes the transaction, when there is one, and forgets what was remembered from it. */
  rollback(): void {
    this.#forget();
    // SQLite may have rolled back by itself, for example when the disk was full.
    if (this.#db.inTransaction) this.#rollback.run();
  }

  close(): void {
    this.#db.close();
  }

  limitPages(pages: number): void {
    this.#db.pragma(`max_page_count = ${pages}`);
  }

  #forget(): void {
    this.#units.clear();
    this.#touchedLate.clear();
  }

  #openQuarter(unit: UnitState, quarter: number): void {
    if (unit.totalsComplete) {
      const parameters: (number | null)[] = [unit.id, unit.newestQuarter];
      unit.totals.appendTo(parameters);
      this.#writeRollup.of(unit.totals.mask).run(parameters);
    } else if (unit.newestQuarter >= 0) this.#isLate(unit, unit.newestQuarter);
    unit.newestQuarter = quarter;
    unit.totals.clear();
    unit.totalsComplete = true;
  }

  #isLate(unit: UnitState, quarter: number): void {
    unit.late.add(quarter);
    this.#touchedLate.add(unit);
  }

  /** Fills the channels that the stored row lacks, and returns which those were. */
  #merge(key: readonly number[], mask: ChannelMask, rows: Float64Array, at: number): ChannelMask {
    const stored = this.#stored.of(mask).get(...key) ?? [];
    const channels = channelsIn(mask);
    let missing = 0;
    const values: (number | null)[] = [];
    for (let place = 0; place < channels.length; place++) {
      if (stored[place] !== null) continue;
      missing |= 1 << (channels[place] ?? 31);
      values.push(rows[at + place] ?? null);
    }
    if (missing !== 0) this.#fill.of(missing).run(...values, ...key);
    return missing;
  }
}

const KEY = 'quarter = ? AND unit_id = ? AND offset_ms = ?';

function columns(mask: ChannelMask): string[] {
  return channelsIn(mask).map((channel) => `"${channelAt(channel)}"`);
}

function rollupColumns(mask: ChannelMask): string[] {
  return channelsIn(mask).flatMap((channel) => {
    const name = channelAt(channel);
    return [`"${name}_min"`, `"${name}_max"`, `"${name}_sum"`, `"${name}_n"`];
  });
}

function insertSql(mask: ChannelMask): string {
  const names = ['quarter', 'unit_id', 'offset_ms', ...columns(mask)];
  return `INSERT INTO raw (${names.join(', ')}) VALUES (${names.map(() => '?').join(', ')})
    ON CONFLICT DO NOTHING`;
}

function storedSql(mask: ChannelMask): string {
  return `SELECT ${columns(mask).join(', ')} FROM raw WHERE ${KEY}`;
}

function fillSql(mask: ChannelMask): string {
  const sets = columns(mask).map((column) => `${column} = ?`);
  return `UPDATE raw SET ${sets.join(', ')} WHERE ${KEY}`;
}

function writeRollupSql(mask: ChannelMask): string {
  const names = ['unit_id', 'quarter', ...rollupColumns(mask)];
  return `INSERT OR REPLACE INTO rollup (${names.join(', ')})
    VALUES (${names.map(() => '?').join(', ')})`;
}

function rollUpSql(mask: ChannelMask): string {
  const totals = columns(mask).flatMap((c) => [
    `min(${c})`,
    `max(${c})`,
    `sum(${c})`,
    `count(${c})`,
  ]);
  return `INSERT OR REPLACE INTO rollup (unit_id, quarter, ${rollupColumns(mask).join(', ')})
    SELECT unit_id, quarter, ${totals.join(', ')} FROM raw
    WHERE quarter = ? AND unit_id = ? GROUP BY unit_id, quarter`;
}
