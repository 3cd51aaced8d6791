import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { createWorld } from '@lineside/rooftop';
import { describe, expect, it } from 'vitest';
import { CASES_MOST, caseSeed, SEEDS_A_BLOCK } from '../src/cohorts/cohort-table.ts';
import { COHORTS, caseOf } from '../src/cohorts/cohorts.ts';
import { REPORTING } from '../src/cohorts/reporting-table.ts';
import { TUNING } from '../src/cohorts/tuning-table.ts';
import { TUNED_FILE } from '../src/index.ts';

const SOURCE = join(import.meta.dirname, '..', 'src');
/** More blocks than anybody runs. */
const BLOCKS = 40;

describe('seeds for tuning and for reporting', () => {
  it('are disjoint in every block', () => {
    const span = (firstSeed: number) => [firstSeed, firstSeed + BLOCKS * SEEDS_A_BLOCK] as const;
    const [, lastTuning] = span(TUNING.firstSeed);
    const [firstReporting] = span(REPORTING.firstSeed);
    expect(lastTuning).toBeLessThan(firstReporting);
  });

  it('are of one case only', () => {
    const seeds = COHORTS.flatMap((_, cohort) =>
      [0, 1, CASES_MOST - 1].flatMap((index) => [0, 1].map((block) => [block, cohort, index])),
    ).map(([block, cohort, index]) => caseSeed(TUNING, block!, cohort!, index!));
    expect(new Set(seeds).size).toBe(seeds.length);
    expect(() => caseSeed(TUNING, 0, 0, CASES_MOST)).toThrow(/at most 1000 cases/);
  });
});

describe('ranges for tuning and for reporting', () => {
  const tuning = flat(TUNING.ranges);
  const reporting = flat(REPORTING.ranges);

  it('have the same names', () => {
    expect(Object.keys(tuning)).toEqual(Object.keys(reporting));
  });

  it.each(Object.keys(tuning))('differ in %s', (name) => {
    expect(tuning[name]).not.toEqual(reporting[name]);
    expect(tuning[name]![0]).toBeLessThan(tuning[name]![1]);
    expect(reporting[name]![0]).toBeLessThan(reporting[name]![1]);
  });
});

describe('what tunes and what is held to recorded figures', () => {
  it.each([
    'tuning/tune.ts',
    'tuning/grid.ts',
    'tuning/objective.ts',
    'regression/fixed-set.ts',
    'rivals/rival-judge.ts',
    'worker.ts',
  ])('%s cannot reach the reporting table', (entry) => {
    const reached = reachedFrom(join(SOURCE, entry));
    expect(reached).not.toContain('cohorts/reporting-table.ts');
  });

  it('would be seen to reach it', () => {
    expect(reachedFrom(join(SOURCE, 'table/warning.ts'))).toContain('cohorts/reporting-table.ts');
  });

  it('left its name in no other file than the ones that report', () => {
    const naming = readdirSync(SOURCE, { recursive: true, encoding: 'utf8' }).filter(
      (name) =>
        name.endsWith('.ts') && /reporting-table/.test(readFileSync(join(SOURCE, name), 'utf8')),
    );
    expect(naming).toEqual(['table/warning.ts']);
  });

  it('wrote down that it was tuned on the tuning cohorts', () => {
    expect(readFileSync(TUNED_FILE, 'utf8')).toMatch(/"how": "npm run bench -- tune --cases \d+/);
  });
});

describe('a case', () => {
  it('is the same each time and another for each index', () => {
    for (const cohort of COHORTS) {
      const options = { weeks: 2, block: 0 };
      const plan = caseOf(TUNING, cohort, 0, options);
      expect(caseOf(TUNING, cohort, 0, options)).toEqual(plan);
      expect(caseOf(TUNING, cohort, 1, options)).not.toEqual(plan);
    }
  });

  it('has a fault exactly where its cohort is not healthy', () => {
    for (const cohort of COHORTS) {
      const { scenario } = caseOf(REPORTING, cohort, 0, { weeks: 2, block: 0 });
      const faults = scenario.units
        .flatMap((unit) => unit.faults)
        .filter(({ kind }) => kind !== 'humidity-sticks');
      expect([cohort.name, faults.length === 0]).toEqual([cohort.name, cohort.healthy !== null]);
    }
  });
});

type Flat = Record<string, readonly [number, number]>;

function flat(ranges: object): Flat {
  return Object.fromEntries(
    Object.entries(ranges).flatMap(([group, of]) =>
      Object.entries(of as Flat).map(([name, range]) => [`${group}.${name}`, range]),
    ),
  );
}

/** All source files that a file imports, and what these import, and so on. */
function reachedFrom(file: string): string[] {
  const reached = new Set<string>();
  const left = [file];
  for (let next = left.pop(); next !== undefined; next = left.pop()) {
    if (reached.has(next)) continue;
    reached.add(next);
    const text = readFileSync(next, 'utf8');
    for (const match of text.matchAll(/from '(\.[^']+)'/g))
      left.push(join(dirname(next), match[1]!));
  }
  return [...reached].map((path) => relative(SOURCE, path));
}

describe('coils of healthy units', () => {
  it('are washed by day, dry and above freezing, or not at all', () => {
    const cohort = COHORTS.find(({ name }) => name === 'healthy, coil-washing')!;
    let washed = 0;
    for (let index = 0; index < 8; index += 1) {
      const { fleet, scenario, seed } = caseOf(TUNING, cohort, index, { weeks: 8, block: 0 });
      const world = createWorld({ seed, fleet, scenario, startMs: scenario.startMs });
      for (const { fromMs, toMs } of scenario.units[0]!.lookAlikes ?? []) {
        washed += 1;
        const [weather] = world.sites;
        expect(weather!.solarHourAt(fromMs)).toBeGreaterThanOrEqual(8);
        expect(weather!.solarHourAt(toMs)).toBeLessThanOrEqual(17);
        for (let atMs = fromMs; atMs < toMs; atMs += 60_000) {
          const { celsius, rainMm, snowMm } = weather!.at(atMs);
          expect({ thawed: celsius >= 5, fell: rainMm + snowMm }).toEqual({
            thawed: true,
            fell: 0,
          });
        }
      }
    }
    expect(washed).toBeGreaterThan(0);
  });
});
