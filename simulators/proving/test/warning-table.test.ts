import { describe, expect, it } from 'vitest';
import { proportion } from '../src/index.ts';
import { share, spread } from '../src/table/goals.ts';
import { NOT_THE_FIELD, warningTable } from '../src/table/warning-table.ts';
import { alarm, FAILING_TRACK, observed } from './hand-made.ts';

describe('a cell', () => {
  it('tells hits, share and interval', () => {
    expect(share(proportion(81, 263))).toBe('81/263 31 % (26-37)');
  });

  it('is a dash without a case or a value', () => {
    expect(share(proportion(0, 0))).toBe('-');
    expect(spread(null)).toBe('-');
  });

  it('tells median and quartiles', () => {
    expect(spread({ count: 3, lower: 20.4, median: 48, upper: 90 })).toBe('48 (20..90)');
    expect(spread({ count: 3, lower: 0.25, median: 2, upper: 3 })).toBe('2.0 (0.3..3.0)');
  });
});

describe('the table', () => {
  const told = alarm('leakage', [{ priority: 'urgent', day: 40 }]);
  const track = observed({ faults: [FAILING_TRACK] }, [told]);
  const deaf = observed({ faults: [FAILING_TRACK] });
  const quiet = observed({});
  const crying = observed({}, [alarm('moisture', [{ priority: 'routine', day: 3 }])]);
  const outcomes = [
    { cohort: 'track, humid coast', seed: 1, units: { ours: [track], theirs: [deaf] } },
    { cohort: 'healthy', seed: 2, units: { ours: [quiet], theirs: [crying] } },
  ];
  const lines = warningTable(outcomes, ['ours', 'theirs']).split('\n');
  const cells = (title: string): string[][] =>
    lines.filter((line) => line.trim().startsWith(title)).map((line) => line.trim().split(/ {2,}/));

  it('says first and last that it is no field performance', () => {
    expect(lines[0]).toBe(NOT_THE_FIELD);
    expect(lines.at(-1)).toBe('simulated; no field performance');
  });

  it('has a column for each judging', () => {
    expect(cells('urgent 24 h before failure')[0]).toEqual([
      'urgent 24 h before failure',
      '1/1 100 % (21-100)',
      '0/1 0 % (0-79)',
    ]);
  });

  it('counts false alarms of healthy units on their own', () => {
    const [all, healthy] = cells('false routine, a unit-year');
    expect(all).toEqual(['false routine, a unit-year', '0.00', '1.83']);
    expect(healthy).toEqual(['false routine, a unit-year', '0.00', '3.65']);
  });

  it('says which cohort false alarms come from, and of which kind', () => {
    expect(cells('healthy  ')).toContainEqual(['healthy', '0', '1: moisture 1']);
  });
});
