import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { INFLUX_END_MS } from '../../src/influxdb/influx-options.ts';
import {
  areNames,
  bucketsStatement,
  createDatabaseStatement,
  deleteStatements,
  extremesStatement,
  identifier,
  knownTimes,
  literal,
  rowsStatement,
  unitsRowsStatement,
} from '../../src/influxdb/influxql.ts';
import { maskOf } from '../../src/sqlite/telemetry/channel-mask.ts';

const UNIT = { site: 'harbour-mall', unit: 'rtu-01' };
const DAY = { fromMs: 86_400_000, toMs: 172_800_000 };
const WITHIN = 'time >= 86400000ms AND time < 172800000ms';
const OF_UNIT = `("site" = 'harbour-mall' AND "unit" = 'rtu-01')`;

/** The one token that a scanner finds, its escapes undone; null when the text is more than that. */
function scan(text: string, quote: string): string | null {
  const body = new RegExp(`^${quote}((?:[^${quote}\\\\\\n]|\\\\.)*)${quote}$`, 'u').exec(text)?.[1];
  if (body === undefined) return null;
  return body.replace(/\\(.)/gu, (_all, one: string) => (one === 'n' ? '\n' : one));
}

describe('quoting', () => {
  const texts = fc.oneof(
    fc.string({ unit: 'binary' }).filter((text) => !/[\r\0]/.test(text)),
    fc.string({ unit: fc.constantFrom("'", '"', '\\', '\n', 'n', ';', ' ', '-') }),
  );

  it.each(['\r', 'nul\0'])('refuses %j, at which a scanner ends a text', (text) => {
    expect(() => literal(text)).toThrow(RangeError);
    expect(() => identifier(text)).toThrow(RangeError);
  });

  it('keeps any text within one literal', () => {
    fc.assert(
      fc.property(texts, (text) => {
        expect(scan(literal(text), "'")).toBe(text);
      }),
    );
  });

  it('keeps any text within one name', () => {
    fc.assert(
      fc.property(texts, (text) => {
        expect(scan(identifier(text), '"')).toBe(text);
      }),
    );
  });

  it('takes the sting out of names in statements', () => {
    const bad = { site: `x' OR 'a'='a`, unit: `'; DROP MEASUREMENT "reading"; --` };
    expect(rowsStatement(bad, maskOf(['rh']), DAY, 1)).toContain(
      String.raw`("site" = 'x\' OR \'a\'=\'a' AND "unit" = '\'; DROP MEASUREMENT "reading"; --')`,
    );
    expect(createDatabaseStatement('a"; DROP DATABASE "b')).toBe(
      String.raw`CREATE DATABASE "a\"; DROP DATABASE \"b"`,
    );
  });
});

describe('statements', () => {
  it('are made only of names under which readings are stored', () => {
    expect(areNames(UNIT)).toBe(true);
    expect(areNames({ ...UNIT, unit: "'" })).toBe(false);
    expect(areNames({ ...UNIT, site: 'Mill' })).toBe(false);
  });

  it('ask for rows of one unit, oldest first', () => {
    expect(rowsStatement(UNIT, maskOf(['rh', 'leak']), DAY, 50)).toBe(
      `SELECT "rh", "leak" FROM "reading" WHERE ${WITHIN} AND ${OF_UNIT} ` +
        'ORDER BY time ASC LIMIT 50',
    );
  });

  it('ask for rows of several units at once', () => {
    const other = { site: 'mill', unit: 'rtu-02' };
    expect(unitsRowsStatement([UNIT, other], maskOf(['door']), DAY)).toBe(
      `SELECT "door" FROM "reading" WHERE ${WITHIN} AND (${OF_UNIT} OR ` +
        `("site" = 'mill' AND "unit" = 'rtu-02')) GROUP BY "site", "unit" LIMIT 10000`,
    );
  });

  it('ask for buckets, and without a width where one holds all', () => {
    const columns =
      'min("rh") AS "rh_min", max("rh") AS "rh_max", ' +
      'sum("rh") AS "rh_sum", count("rh") AS "rh_count"';
    const start = `SELECT ${columns} FROM "reading" WHERE ${WITHIN} AND ${OF_UNIT}`;
    const mask = maskOf(['rh']);
    expect(bucketsStatement(UNIT, mask, DAY, 900_000)).toBe(
      `${start} GROUP BY time(900000ms) fill(none) LIMIT 10000`,
    );
    expect(bucketsStatement(UNIT, mask, DAY, 86_400_000)).toBe(start);
    expect(bucketsStatement(UNIT, mask, DAY, 1e14)).toBe(start);
  });

  it('ask for extremes of every unit', () => {
    expect(extremesStatement(maskOf(['p']), DAY)).toBe(
      `SELECT min("p") AS "p_min", max("p") AS "p_max" FROM "reading" WHERE ${WITHIN} ` +
        'GROUP BY "site", "unit"',
    );
  });

  it('ask quarters for the same columns', () => {
    expect(bucketsStatement(UNIT, maskOf(['rh']), DAY, 3_600_000, 'quarters')).toBe(
      'SELECT min("rh_min") AS "rh_min", max("rh_max") AS "rh_max", ' +
        'sum("rh_sum") AS "rh_sum", sum("rh_n") AS "rh_count" FROM "quarter" ' +
        `WHERE ${WITHIN} AND ${OF_UNIT} GROUP BY time(3600000ms) fill(none) LIMIT 10000`,
    );
    expect(bucketsStatement(UNIT, maskOf(['rh']), DAY, 900_000, 'quarters')).toBe(
      'SELECT "rh_min" AS "rh_min", "rh_max" AS "rh_max", "rh_sum" AS "rh_sum", ' +
        `"rh_n" AS "rh_count" FROM "quarter" WHERE ${WITHIN} AND ${OF_UNIT} LIMIT 10000`,
    );
    expect(extremesStatement(maskOf(['p']), DAY, 'quarters', [UNIT])).toBe(
      'SELECT min("p_min") AS "p_min", max("p_max") AS "p_max" FROM "quarter" ' +
        `WHERE ${WITHIN} AND (${OF_UNIT}) GROUP BY "site", "unit"`,
    );
  });

  it('name no time that nanoseconds in 64 bits cannot hold', () => {
    expect(BigInt(INFLUX_END_MS) * 1_000_000n).toBeLessThan(2n ** 63n);
    const end = Date.UTC(9_999, 0);
    expect(knownTimes({ fromMs: 5, toMs: end })).toEqual({ fromMs: 5, toMs: INFLUX_END_MS });
    const beyond = knownTimes({ fromMs: end - 1, toMs: end });
    expect(beyond).toEqual({ fromMs: INFLUX_END_MS, toMs: INFLUX_END_MS });
    expect(deleteStatements(end)).toEqual(
      ['reading', 'quarter', 'late_day'].map(
        (name) => `DELETE FROM "${name}" WHERE time < ${INFLUX_END_MS}ms`,
      ),
    );
  });
});
