import { saturationOverWaterPascals } from '@lineside/physics';
import { createWorld, runWorld } from '@lineside/rooftop';
import { describe, expect, it } from 'vitest';
import { COHORTS, caseOf } from '../src/cohorts/cohorts.ts';
import { TUNING } from '../src/cohorts/tuning-table.ts';
import { IdealCase } from '../src/ideal/ideal-case.ts';
import { LimitDemand } from '../src/ideal/limit-demand.ts';
import { Silences } from '../src/ideal/silences.ts';
import { WettingRule } from '../src/ideal/wetting-rule.ts';
import { playWithout, playWithoutLookAlikes, ReadingsWithout } from '../src/ideal/world-without.ts';
import { houseJudging } from '../src/running/judgings.ts';
import { runCase } from '../src/running/run-case.ts';
import { proofReport } from '../src/table/proof-report.ts';

const planOf = (cohort: string, index: number, weeks: number) => {
  return caseOf(TUNING, COHORTS.find(({ name }) => name === cohort)!, index, { weeks, block: 3 });
};
const STAMP = { command: 'npm run x', day: '2026-01-05', block: 3, firstSeed: 7, sources: {} };

describe('the world without its faults', () => {
  it('sends the same to the last digit until the fault begins, and other leakage after it', () => {
    const plan = planOf('vermin', 0, 3);
    const without = playWithout(plan)!.get('rtu-01')!;
    const { scenario, fleet, seed, endMs, everyMs } = plan;
    const world = createWorld({ seed, fleet, scenario, startMs: scenario.startMs });
    const [unit] = world.units;
    const onsetMs = plan.scenario.units[0]!.faults.flatMap((fault) => {
      return fault.kind === 'vermin' ? [fault.fromMs] : [];
    })[0]!;
    let before = 0;
    let after = 0;
    let told = 0;
    const sink = {
      weather: () => undefined,
      service: () => undefined,
      reading: ({ atMs, channels }: { atMs: number; channels: object }) => {
        const same = without.take(atMs);
        expect(same).not.toBeNull();
        const equal = JSON.stringify(same) === JSON.stringify(channels);
        if (atMs < onsetMs) {
          before += 1;
          expect(equal).toBe(true);
        } else {
          after += 1;
          if (!equal) told += 1;
        }
      },
    };
    runWorld(world, { everyMs, endMs }, sink);
    expect(unit?.fit.leakNoiseMilliamps).toBe(0.04);
    expect(before).toBeGreaterThan(1000);
    expect(told).toBeGreaterThan(0.9 * after);
  });

  it('is not played where nothing is tested', () => {
    expect(playWithout(planOf('healthy', 0, 1))).toBeNull();
  });
});

describe('what the limits of the trade demand of a healthy unit', () => {
  const minute = 60_000;
  const day = 24 * 60 * minute;
  const [unit] = planOf('healthy', 0, 1).fleet.units;
  /** Readings of so many milliamperes, a minute apart, beside what plainly would be there. */
  const demands = (
    fromMs: number,
    milliamps: readonly number[],
    plain: number | null,
    amps = 0,
  ): boolean => {
    const without = plain === null ? null : new ReadingsWithout();
    for (const index of milliamps.keys()) {
      without?.keep(fromMs + index * minute, { leak: (plain ?? 0) / 1000 });
    }
    const demand = new LimitDemand(unit!, 0, without);
    for (const [index, leak] of milliamps.entries()) {
      demand.reading(fromMs + index * minute, { leak: leak / 1000, ia: amps });
    }
    return demand.isDemanded();
  };
  const six = (milliamps: number) => new Array<number>(6).fill(milliamps);

  it('is urgent over 10 mA for five minutes on the first day', () => {
    expect([demands(0, six(10.5), null), demands(0, six(9.5), null)]).toEqual([true, false]);
    expect(demands(0, [11, 11, 11, 4, 11, 11], null)).toBe(false);
  });

  it('allows for the most that a sensor errs by under a load that nobody has watched', () => {
    expect([demands(0, six(29), null, 20), demands(0, six(31), null, 20)]).toEqual([false, true]);
  });

  it('is urgent later over 10 mA, and as far over what the unit leaks itself beyond 3 mA', () => {
    expect([demands(2 * day, six(10.5), 2), demands(2 * day, six(9.5), 2)]).toEqual([true, false]);
    expect([demands(2 * day, six(15.5), 8), demands(2 * day, six(14.5), 8)]).toEqual([true, false]);
    expect(demands(2 * day, six(14), null)).toBe(false);
  });

  it('is counted in a case: a filter of more than 10 mA that comes in the middle', () => {
    const plan = planOf('healthy, surge-arrester', 0, 3);
    const [script] = plan.scenario.units;
    const fromMs = plan.scenario.startMs + 5 * day;
    const filter = { kind: 'emi-filter', fromMs, toMs: plan.endMs, milliamps: 40 } as const;
    const units = [{ ...script!, lookAlikes: [filter] }];
    const filtered = { ...plan, scenario: { ...plan.scenario, units } };
    expect(runCase(filtered, [], true).ideal?.unitsOverLimits).toBe(1);
    expect(playWithoutLookAlikes(planOf('healthy', 0, 1))).toBeNull();
    expect(runCase(planOf('healthy', 0, 1), [], true).ideal?.unitsOverLimits).toBe(0);
  });
});

describe('the rule for wettings', () => {
  it('finds on true values the very wettings of the truth', () => {
    const plan = planOf('track, humid coast', 0, 3);
    const { scenario, fleet, seed, endMs, everyMs } = plan;
    const world = createWorld({ seed, fleet, scenario, startMs: scenario.startMs });
    const unit = world.units[0]!;
    const points = unit.script.faults.flatMap((fault) => {
      return fault.kind === 'track-to-ground' ? [fault.wettingPointPercent] : [];
    });
    const rule = new WettingRule(scenario.startMs, points[0]);
    for (let atMs = scenario.startMs + everyMs; atMs <= endMs; atMs += everyMs) {
      unit.step(atMs);
      const { vapourPascals, plateCelsius, ...water } = unit.truth().compartment;
      const film = water.filmGramsPerSquareMetre - water.frozenGramsPerSquareMetre;
      const percent = (100 * vapourPascals) / saturationOverWaterPascals(plateCelsius);
      const humidityPercent = Math.min(100, percent);
      rule.step({ humidityPercent, filmGramsPerSquareMetre: film, celsius: plateCelsius }, atMs);
    }
    const spans = (of: readonly { readonly startMs: number; readonly endMs: number | null }[]) =>
      of.map(({ startMs, endMs: untilMs }) => [startMs, untilMs]);
    expect(unit.wettings().length).toBeGreaterThan(10);
    expect(spans(rule.episodes())).toEqual(spans(unit.wettings()));
  });
});

describe('a silence of the node', () => {
  const minute = 60_000;
  const silences = new Silences(0);
  for (const at of [1, 2, 3, 63, 64, 70]) silences.heard(at * minute);
  silences.heard(100 * minute);
  const hid = (from: number, to: number): boolean =>
    silences.hid({ startMs: from * minute, endMs: to * minute });

  it('hides a wetting of which more than half goes by in it, to the end of the run', () => {
    expect([hid(10, 50), hid(0, 120), hid(40, 90), hid(70, 100)]).toEqual([true, true, true, true]);
  });

  it('does not hide one that is heard for half of it', () => {
    expect([hid(58, 68), hid(60, 70), hid(-60, 3)]).toEqual([false, false, false]);
  });
});

describe('the detector that knows the world', () => {
  const track = runCase(planOf('track, high plain', 0, 4), [houseJudging()], true);

  it('tells of a track between its begin and its failure, and of the fuses it opens', () => {
    const [unit] = track.ideal!.units;
    const [fault] = unit!.truth.faults;
    const [leakage, loss] = unit!.alarms;
    expect([leakage?.kind, leakage?.evidence['side']]).toEqual(['leakage', 'line']);
    expect(leakage!.raisedAtMs).toBeGreaterThan(fault!.onsetMs);
    expect(leakage!.raisedAtMs).toBeLessThanOrEqual(fault!.observableMs!);
    expect(loss?.kind).toBe('supply-loss');
    expect(loss!.raisedAtMs - fault!.failureMs!).toBeGreaterThan(0);
    expect(loss!.raisedAtMs - fault!.failureMs!).toBeLessThan(10 * 60_000);
  });

  it('says load of insulation that goes with the load, and nothing of a healthy unit', () => {
    const load = runCase(planOf('load insulation', 0, 4), [], true).ideal!.units[0];
    expect(load?.alarms.map(({ evidence }) => evidence['side'])).toEqual(['load']);
    const healthy = runCase(planOf('healthy', 0, 1), [], true).ideal!.units[0];
    expect(healthy?.alarms).toEqual([]);
  });

  it('is plain data, the same in each run, and changes nothing for who watches beside it', () => {
    const alone = runCase(planOf('track, high plain', 0, 4), [houseJudging()]);
    expect(alone.ideal).toBeUndefined();
    expect(track.units).toEqual(alone.units);
    expect(JSON.parse(JSON.stringify(track.ideal))).toEqual(track.ideal);
    expect(() => new IdealCase(planOf('healthy', 0, 1), [])).not.toThrow();
  });

  it('has a column in the report and a section that says what it knows', () => {
    const text = proofReport([track], 'lineside', STAMP);
    expect(text).toMatch(/\| +\| goal +\| reached +\| +\| ideal +\|/);
    expect(text).toMatch(/tracks to ground: urgent 24 h before .*\| 1\/1 100 % \(21-100\) +\|$/m);
    expect(text).toMatch(/wettings found .*; offsets known \d+\/\d+/);
    expect(text).toContain('## What the ideal detector knows');
  });

  it('is left out of a report in which it did not watch', () => {
    const { ideal: _, ...without } = track;
    expect(proofReport([without], 'lineside', STAMP)).not.toMatch(/ideal/);
  });
});
