/** Every case file is one test. How to write one: README.md in this folder. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { LEAST_CASES, ROWS_TO_SHOW } from './coverage.ts';
import { seriesOf } from './format/case-series.ts';
import { differences } from './format/check-case.ts';
import { inTwoSessions, judgeSeries, toldTwice } from './format/judge-case.ts';
import { parseCase } from './format/parse-case.ts';
import type { ScenarioCase } from './format/scenario-case.ts';
import { findingsOf } from './format/shifted-findings.ts';
import { DAY_MS, MINUTE_MS } from './format/times.ts';

const FOLDER = join(import.meta.dirname, 'cases');
const FILES = readdirSync(FOLDER).filter((name) => name.endsWith('.case'));
/** More than that is slow for everybody who runs the cases: `every 5 min` will do for weeks. */
const MOST_READINGS_A_CASE = 30_000;
/** Whole days, and minutes that no half hour or hour begins with. */
const SHIFT_MS = 11 * DAY_MS + 7 * MINUTE_MS;
const PROPERTY_TIMEOUT_MS = 60_000;

const texts = FILES.map((file) => ({ file, text: readFileSync(join(FOLDER, file), 'utf8') }));

const scenario = (name: string, text: string): ScenarioCase => parseCase(text, name);
const eachCase = (): readonly ScenarioCase[] => texts.map(({ file, text }) => scenario(file, text));

describe('the case', () => {
  it.each(texts.map(({ file, text }) => [text.split('\n')[0] ?? file, file, text] as const))(
    '%s',
    (_title, file, text) => {
      const read = scenario(file, text);
      const series = seriesOf(read);
      expect(series.readings.length).toBeLessThan(MOST_READINGS_A_CASE);
      const outcomes = judgeSeries(read.units, series);
      expect(differences(read, outcomes).join('\n')).toBe('');
    },
  );
});

describe('the cases together', () => {
  it(`are at least ${LEAST_CASES}, each with a title of its own`, () => {
    const titles = eachCase().map(({ title }) => title);
    expect(titles.length).toBeGreaterThanOrEqual(LEAST_CASES);
    expect(new Set(titles).size).toBe(titles.length);
  });

  it('show every row of the tables, and none that is not there', () => {
    const named = ({ table, row }: { table: string; row: string }): string => `${table} ${row}`;
    const shown = new Set(eachCase().flatMap(({ shows }) => shows.map(named)));
    expect([...shown].toSorted()).toEqual(ROWS_TO_SHOW.map(named).toSorted());
  });

  it(
    'find the same later when everything happens days and minutes later',
    () => {
      for (const read of eachCase()) {
        const found = findingsOf(judgeSeries(read.units, seriesOf(read)), 0);
        const later = findingsOf(judgeSeries(read.units, seriesOf(read, SHIFT_MS)), SHIFT_MS);
        expect(later, read.file).toEqual(found);
      }
    },
    PROPERTY_TIMEOUT_MS,
  );

  it(
    'find the same when every reading comes twice and in two parts',
    () => {
      for (const read of eachCase()) {
        const series = seriesOf(read);
        const found = findingsOf(judgeSeries(read.units, series), 0);
        const twice = findingsOf(judgeSeries(read.units, toldTwice(series)), 0);
        expect(twice, read.file).toEqual(found);
      }
    },
    PROPERTY_TIMEOUT_MS,
  );

  it(
    'find the same when the judging stops half way and goes on from what it saved',
    () => {
      for (const read of eachCase()) {
        const series = seriesOf(read);
        const whole = judgeSeries(read.units, series);
        const halves = inTwoSessions(read.units, series);
        const heard = findingsOf(whole, 0).filter(({ what }) => !what.startsWith('silent'));
        expect(findingsOf(halves, 0), read.file).toEqual(heard);
      }
    },
    PROPERTY_TIMEOUT_MS,
  );
});
