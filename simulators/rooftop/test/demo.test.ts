import { describe, expect, it } from 'vitest';
import {
  createWorld,
  DEMO_HISTORY_DAYS,
  demoScenario,
  fleetScenario,
  readDemoFleet,
  type World,
} from '../src/index.ts';
import { DAY_MS, HOUR_MS, MINUTE_MS, type Minute, mean, minutesOf } from './small-world.ts';

const NOW_MS = Date.UTC(2026, 10, 25, 14);
const fleet = readDemoFleet();
const scenario = demoScenario(NOW_MS);

function world(): World {
  return createWorld({ seed: 1, fleet, scenario, startMs: scenario.startMs });
}

/** The last days of a unit, the whole history having been stepped. */
function lastDays(made: World, site: string, unit: string, days: number): Minute[] {
  const fromMs = NOW_MS - days * DAY_MS;
  const minutes: Minute[] = [];
  for (const minute of minutesOf(made, DEMO_HISTORY_DAYS, site, unit)) {
    if (minute.atMs > fromMs) minutes.push(minute);
  }
  return minutes;
}

function highestLeak(minutes: readonly Minute[]): number {
  return Math.max(...minutes.map(({ channels }) => 1000 * (channels?.leak ?? 0)));
}

describe('the demonstration fleet', () => {
  it('has two dozen units on four sites, of several voltages and groundings, some with drives', () => {
    expect(fleet.sites).toHaveLength(4);
    expect(fleet.units).toHaveLength(24);
    expect(new Set(fleet.units.map(({ supply }) => supply.volts))).toEqual(
      new Set([208, 240, 480, 600]),
    );
    expect(new Set(fleet.units.map(({ supply }) => supply.grounding)).size).toBe(5);
    expect(fleet.units.filter(({ drive }) => drive)).toHaveLength(3);
    for (const unit of fleet.units) {
      expect(unit.access).not.toBeNull();
      expect(unit.contactors.every(({ flaAmps }) => flaAmps !== null)).toBe(true);
      const fla = unit.contactors.reduce((sum, contactor) => sum + (contactor.flaAmps ?? 0), 0);
      expect(unit.supply.mcaAmps).toBeGreaterThan(fla);
      expect(unit.fuses.amps).toBeLessThanOrEqual(unit.supply.mopAmps!);
    }
    for (const site of fleet.sites) {
      expect(() => new Intl.DateTimeFormat('en', { timeZone: site.timezone })).not.toThrow();
    }
  });

  it('is healthy in its majority and keeps its distances to now', () => {
    const faulty = scenario.units.filter(({ faults }) => faults.length > 0);
    expect(faulty.length).toBeLessThan(fleet.units.length / 2);
    const later = demoScenario(NOW_MS + 5 * HOUR_MS);
    expect(later.startMs - scenario.startMs).toBe(5 * HOUR_MS);
    expect(later.storms[0]!.stages[0]!.fromMs - scenario.storms[0]!.stages[0]!.fromMs).toBe(
      5 * HOUR_MS,
    );
  });
});

/** Six weeks of a unit are a second of work on a free core. */
const STORY = { timeout: 60_000 };

describe('the demonstration story', STORY, () => {
  it('takes two fuses of the fish hall at the melt after the storm, not in the frost', () => {
    const minutes = lastDays(world(), 'gannet-wharf', 'rtu-01', 5);
    const opened = minutes.find(({ truth }) => truth.openFuses.length > 0)!;
    expect(opened.truth.openFuses).toEqual(['a', 'c']);
    expect(opened.atMs).toBeGreaterThan(NOW_MS - 30 * HOUR_MS);
    const frost = minutes.filter(
      ({ atMs }) => atMs > NOW_MS - 80 * HOUR_MS && atMs < NOW_MS - 34 * HOUR_MS,
    );
    expect(highestLeak(frost)).toBeLessThan(3);
    expect(frost.at(-1)!.truth.compartment.snowGrams).toBeGreaterThan(300);
    expect(highestLeak(minutes)).toBeGreaterThan(30);
    expect(minutes.at(-1)!.channels!.ia).toBeLessThan(0.05);
  });

  it('catches the bakery above the urgent limit, repairs it, and the repair holds', () => {
    const minutes = lastDays(world(), 'cypress-landing', 'rtu-01', 42);
    const repairMs = NOW_MS - 12 * DAY_MS;
    const before = minutes.filter(({ atMs }) => atMs < repairMs);
    const urgent = before.filter(({ channels }) => channels!.leak! > 0.01);
    expect(urgent.length).toBeGreaterThan(30);
    expect(before.every(({ truth }) => truth.openFuses.length === 0)).toBe(true);
    const after = minutes.filter(({ atMs }) => atMs > repairMs + 3 * HOUR_MS);
    expect(highestLeak(after)).toBeLessThan(6);
    const wettest = (part: readonly Minute[]): number =>
      Math.max(...part.map(({ channels }) => channels!.rh!));
    expect(wettest(after)).toBeGreaterThan(95);
  });

  it('has the fuses of the laundry replaced three times without a root cause', () => {
    const made = world();
    const minutes = lastDays(made, 'cypress-landing', 'rtu-02', 42);
    const records = made.unit('cypress-landing', 'rtu-02').takeServiceRecords();
    const swaps = records.filter(({ line }) => line.action === 'fuses-replaced');
    expect(swaps).toHaveLength(3);
    expect(swaps[2]!.atMs - swaps[0]!.atMs).toBeLessThan(90 * DAY_MS);
    expect(records.some(({ line }) => line.action === 'root-cause')).toBe(false);
    expect(minutes.at(-1)!.truth.openFuses).toEqual([]);
  });

  it('ends with the workshop above 10 % unbalance', () => {
    const busy = lastDays(world(), 'antelope-flats', 'rtu-02', 0.5).filter(
      ({ truth }) => truth.compressorsRunning > 0,
    );
    const average = (phase: 'ia' | 'ib' | 'ic'): number =>
      mean(busy.map(({ channels }) => channels![phase]!));
    const all = (average('ia') + average('ib') + average('ic')) / 3;
    expect((all - average('ib')) / all).toBeGreaterThan(0.1);
  });

  it('has lost a phase of the smokehouse within the last hours', () => {
    const end = lastDays(world(), 'gannet-wharf', 'rtu-04', 0.3);
    expect(end[0]!.truth.openFuses).toEqual([]);
    expect(end.at(-1)!.truth.openFuses).toEqual(['c']);
  });

  it('has fog at the clinic for hours and no harm in it', () => {
    const minutes = lastDays(world(), 'alder-fork', 'rtu-04', 42);
    const foggy = minutes.filter(({ weather }) => weather.humidityPercent > 98);
    expect(foggy.length).toBeGreaterThan(24 * 60);
    expect(highestLeak(minutes)).toBeLessThan(3.5);
  });
});

describe('a scenario for any fleet', () => {
  it('names every unit, spares most of them, and plays', () => {
    const made = fleetScenario({ fleet, seed: 3, nowMs: NOW_MS, historyDays: 2 });
    expect(made.units).toHaveLength(fleet.units.length);
    const faulty = made.units.filter(({ faults }) => faults.length > 0);
    expect(faulty.length).toBeGreaterThan(0);
    expect(faulty.length).toBeLessThan(fleet.units.length / 2);
    const played = createWorld({ seed: 3, fleet, scenario: made, startMs: made.startMs });
    for (const unit of played.units) {
      expect(unit.step(made.startMs + 3 * MINUTE_MS)).not.toBeNull();
    }
  });
});
