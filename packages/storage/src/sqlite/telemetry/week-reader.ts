import type Database from 'better-sqlite3';
import { type ChannelMask, channelAt, channelsIn } from './channel-mask.ts';
import { MaskStatements, type Row } from './mask-statements.ts';
import { QUARTER_MS, type Span } from './week.ts';

/** A unit of one file. */
export interface StoredUnit {
  readonly id: number;
  readonly site: string;
  readonly unit: string;
  /** Channels that the unit has in this file. */
  readonly channels: ChannelMask;
  /** Number of its newest quarter of an hour with rows in this file. */
  readonly newestQuarter: number;
}

/** How a span is answered: whole quarters from rollups, what lies beside them from rows. */
export interface SpanParts {
  readonly raw: readonly Span[];
  /** Numbers of quarters, half open; null for none. */
  readonly quarters: { readonly from: number; readonly to: number } | null;
}

/** Columns of a row of `rollups` for each channel. */
export const ROLLUP_FIELDS = 4;

/** Reads one week's file. Rows come as arrays: first the time, then the channels of the mask. */
export class WeekReader {
  readonly #db: Database.Database;
  readonly #begin: Database.Statement<[]>;
  readonly #commit: Database.Statement<[]>;
  readonly #unit: Database.Statement<[string, string], StoredUnit>;
  readonly #units: Database.Statement<[], StoredUnit>;
  readonly #countRows: Database.Statement<number[], number>;
  readonly #rows: MaskStatements;
  readonly #newestRow: MaskStatements;
  readonly #rollups: MaskStatements;
  readonly #rawExtremes: MaskStatements;
  readonly #rollupExtremes: MaskStatements;

  constructor(db: Database.Database) {
    this.#db = db;
    this.#begin = db.prepare('BEGIN');
    this.#commit = db.prepare('COMMIT');
    const units = 'SELECT id, site, unit, channels, newest_quarter AS newestQuarter FROM unit';
    this.#unit = db.prepare(`${units} WHERE site = ? AND unit = ?`);
    this.#units = db.prepare(units);
    this.#countRows = db
      .prepare<number[], number>(`SELECT count(*) FROM raw WHERE ${IN_QUARTER}`)
      .pluck();
    const masked = (sql: (mask: ChannelMask) => string): MaskStatements =>
      new MaskStatements((mask) => db.prepare<unknown[], Row>(sql(mask)).raw());
    this.#rows = masked(rowsSql);
    this.#newestRow = masked(newestRowSql);
    this.#rollups = masked(rollupsSql);
    this.#rawExtremes = masked(rawExtremesSql);
    this.#rollupExtremes = masked(rollupExtremesSql);
  }

  /** Runs `work` on one state of the file, however much is written meanwhile. */
  atOneMoment<T>(work: () => T): T {
    this.#begin.run();
    try {
      return work();
    } finally {
      if (this.#db.inTransaction) this.#commit.run();
    }
  }

  unit(site: string, unit: string): StoredUnit | undefined {
    return this.#unit.get(site, unit);
  }

  units(): StoredUnit[] {
    return this.#units.all();
  }

  /** Rows of one unit, oldest first, at most `limit`. */
  rows(unit: StoredUnit, mask: ChannelMask, span: Span, limit: number): Row[] {
    const statement = this.#rows.of(mask);
    const found: Row[] = [];
    for (const part of quartersOf(unit, span)) {
      const { quarter, fromOffset, toOffset } = part;
      const left = limit - found.length;
      if (left <= 0) break;
      for (const row of statement.all(quarter, unit.id, fromOffset, toOffset, left)) {
        found.push(row);
      }
    }
    return found;
  }

  /** How many rows `rows` would give, counted up to `limit`. */
  countRows(unit: StoredUnit, span: Span, limit: number): number {
    let count = 0;
    for (const { quarter, fromOffset, toOffset } of quartersOf(unit, span)) {
      if (count >= limit) break;
      count += this.#countRows.get(quarter, unit.id, fromOffset, toOffset) ?? 0;
    }
    return Math.min(count, limit);
  }

  newestRow(unit: StoredUnit): Row | undefined {
    return this.#newestRow.of(unit.channels).get(unit.newestQuarter, unit.id);
  }

  /** Splits a span; the unit's newest quarter has no rollup yet. */
  parts(unit: StoredUnit, span: Span): SpanParts {
    const from = Math.ceil(span.fromMs / QUARTER_MS);
    const end = Math.min(Math.floor(span.toMs / QUARTER_MS), unit.newestQuarter);
    if (from >= end) return { raw: [span], quarters: null };
    const before = { fromMs: span.fromMs, toMs: from * QUARTER_MS };
    const after = { fromMs: end * QUARTER_MS, toMs: span.toMs };
    const raw = [before, after].filter((part) => part.fromMs < part.toMs);
    return { raw, quarters: { from, to: end } };
  }

  /** Number of the quarter, then minimum, maximum, sum and count of each channel. */
  rollups(unit: StoredUnit, mask: ChannelMask, from: number, to: number): Row[] {
    return this.#rollups.of(mask).all(unit.id, from, to);
  }

  /** Minimum and maximum of each channel of the mask, one row a part of the span. */
  extremes(unit: StoredUnit, mask: ChannelMask, span: Span): Row[] {
    const { raw, quarters } = this.parts(unit, span);
    const found: (Row | undefined)[] = [];
    for (const part of raw) {
      for (const { quarter, fromOffset, toOffset } of quartersOf(unit, part)) {
        found.push(this.#rawExtremes.of(mask).get(quarter, unit.id, fromOffset, toOffset));
      }
    }
    if (quarters !== null) {
      found.push(this.#rollupExtremes.of(mask).get(unit.id, quarters.from, quarters.to));
    }
    return found.filter((row) => row !== undefined);
  }

  close(): void {
    this.#db.close();
  }
}

interface QuarterPart {
  readonly quarter: number;
  readonly fromOffset: number;
  readonly toOffset: number;
}

/** The quarters of a span up to the unit's newest, each with the offsets that lie in the span. */
function* quartersOf(unit: StoredUnit, span: Span): Generator<QuarterPart> {
  const last = Math.min(Math.floor((span.toMs - 1) / QUARTER_MS), unit.newestQuarter);
  for (let quarter = Math.floor(span.fromMs / QUARTER_MS); quarter <= last; quarter++) {
    const startMs = quarter * QUARTER_MS;
    yield { quarter, fromOffset: span.fromMs - startMs, toOffset: span.toMs - startMs };
  }
}

/** Event time of a row. */
const AT_MS: string = `quarter * ${QUARTER_MS} + offset_ms`;
const IN_QUARTER = 'quarter = ? AND unit_id = ? AND offset_ms >= ? AND offset_ms < ?';

function each(mask: ChannelMask, text: (name: string) => string): string {
  return channelsIn(mask)
    .map((channel) => text(channelAt(channel)))
    .join(', ');
}

function rowsSql(mask: ChannelMask): string {
  return `SELECT ${AT_MS}, ${each(mask, (name) => `"${name}"`)} FROM raw
    WHERE ${IN_QUARTER} ORDER BY offset_ms LIMIT ?`;
}

function newestRowSql(mask: ChannelMask): string {
  return `SELECT ${AT_MS}, ${each(mask, (name) => `"${name}"`)} FROM raw
    WHERE quarter = ? AND unit_id = ? ORDER BY offset_ms DESC LIMIT 1`;
}

function rollupsSql(mask: ChannelMask): string {
  const fields = each(mask, (n) => `"${n}_min", "${n}_max", "${n}_sum", "${n}_n"`);
  return `SELECT quarter, ${fields} FROM rollup WHERE unit_id = ? AND quarter >= ? AND quarter < ?`;
}

function rawExtremesSql(mask: ChannelMask): string {
  return `SELECT ${each(mask, (name) => `min("${name}"), max("${name}")`)} FROM raw
    WHERE ${IN_QUARTER}`;
}

function rollupExtremesSql(mask: ChannelMask): string {
  return `SELECT ${each(mask, (name) => `min("${name}_min"), max("${name}_max")`)} FROM rollup
    WHERE unit_id = ? AND quarter >= ? AND quarter < ?`;
}
