import { conditionOf, type LeakageOutlook, restoreWatchState } from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import { DRIVE_LEAKAGE_LIMITS, USUAL_LIMITS } from '@lineside/fleet';
import type { ChannelValues } from '@lineside/readings';
import { describe, expect, it } from 'vitest';
import {
  HOUR_MS,
  IDLE,
  leaking,
  MINUTE_MS,
  ObservedUnit,
  RUNNING,
  unitLike,
} from './observed-unit.ts';

type Law = (percent: number, atMs: number) => number;
const FANS: ChannelValues = { ia: 5.6, ib: 5.5, ic: 5.6 };
const CADENCE_MS: number = 2 * MINUTE_MS;

/** Days whose humidity swings between the two; the load changes every half hour. */
function live(
  unit: ObservedUnit,
  days: number,
  [dry, wet]: readonly [number, number],
  law: Law,
  loads: readonly (readonly [ChannelValues, number])[] = [[IDLE, 0]],
  more: (atMs: number) => ChannelValues = () => ({}),
): void {
  const startMs = unit.atMs;
  for (let half = 0; half < 48 * days; half += 1) {
    const swing = 0.5 - 0.5 * Math.cos((2 * Math.PI * (unit.atMs - startMs)) / (24 * HOUR_MS));
    const rh = dry + (wet - dry) * swing;
    const [load, addition] = loads[half % loads.length]!;
    const air = { rh, t: 15, ...more(unit.atMs) };
    unit.hold(30, [air, load, leaking(law(rh, unit.atMs) + addition)], CADENCE_MS);
  }
}

function outlookOf(unit: ObservedUnit): LeakageOutlook {
  return conditionOf(unit.state, unit.unit)!.leakageOutlook!;
}

const gentle: Law = (percent) => 0.5 + 0.1 * Math.exp(0.07 * (percent - 50));

describe('the outlook of a unit', () => {
  it('gives dry- and wet-day leakage from the own response, within its limits', () => {
    const unit = new ObservedUnit();
    live(unit, 6, [40, 99], gentle);
    const { dryDay, wetDay, missingBands, seenToPercent, side, basis } = outlookOf(unit);
    expect(dryDay!.lowerMilliamps).toBeLessThanOrEqual(gentle(50, 0));
    expect(dryDay!.upperMilliamps).toBeGreaterThanOrEqual(gentle(50, 0));
    expect(wetDay!.lowerMilliamps).toBeLessThanOrEqual(gentle(95, 0));
    expect(wetDay!.upperMilliamps).toBeGreaterThanOrEqual(gentle(95, 0));
    expect(seenToPercent).toBeGreaterThan(90);
    expect({ missingBands, side, basis }).toEqual({
      missingBands: [],
      side: 'line',
      basis: 'rest',
    });
  });

  it('forecasts a wet day from damp ones, and says which bands are missing', () => {
    const unit = new ObservedUnit();
    live(unit, 8, [40, 86], gentle);
    const { wetDay, missingBands } = outlookOf(unit);
    expect(wetDay!.extrapolated).toBe(true);
    expect(wetDay!.lowerMilliamps).toBeLessThanOrEqual(gentle(95, 0));
    expect(wetDay!.upperMilliamps).toBeGreaterThanOrEqual(gentle(95, 0));
    expect(missingBands).toEqual([{ fromPercent: 90, toPercent: 100 }]);
  });

  it('sees growth over the weeks, and its time', () => {
    const unit = new ObservedUnit();
    for (let week = 0; week < 8; week += 1) {
      live(unit, 7, [42, 99], (percent, atMs) => (4 + 1.2 * week) * gentle(percent, atMs));
    }
    const { wetGrowth: growth, timeToLimit } = outlookOf(unit);
    expect(growth!.milliampsPerWeek).toBeGreaterThan(0.8 * 1.2 * gentle(95, 0));
    expect(growth!.milliampsPerWeek).toBeLessThan(1.25 * 1.2 * gentle(95, 0));
    const now = (4 + 1.2 * 7) * gentle(97, 0);
    const weeksToGo = Math.max(30 - now, 0) / (1.2 * gentle(97, 0));
    expect(Math.abs(timeToLimit!.days / 7 - weeksToGo)).toBeLessThan(2.5);
    expect(timeToLimit!.soonestDays!).toBeLessThanOrEqual(timeToLimit!.days);
  });

  it('tells no time to a limit where the supply holds ground faults down', () => {
    const supply = { ...unitLike().supply, grounding: 'ungrounded' } as const;
    const unit = new ObservedUnit(unitLike({ supply }));
    for (let week = 0; week < 7; week += 1) {
      live(unit, 7, [42, 99], (percent, atMs) => (4 + 1.2 * week) * gentle(percent, atMs));
    }
    expect(outlookOf(unit).wetGrowth!.milliampsPerWeek).toBeGreaterThan(1);
    expect(outlookOf(unit).timeToLimit).toBeNull();
  });

  it('takes what temperature does out of the growth of dry days', () => {
    const unit = new ObservedUnit();
    const celsius = (atMs: number): number =>
      (20 * (atMs - unitStart)) / (60 * 24 * HOUR_MS) + 8 * Math.sin(atMs / (3.1 * HOUR_MS));
    const unitStart = unit.atMs;
    live(
      unit,
      56,
      [40, 60],
      (_, atMs) => 2 + 0.05 * celsius(atMs),
      undefined,
      (atMs) => ({
        t: celsius(atMs),
      }),
    );
    const { milliampsPerKelvin, dryGrowth } = outlookOf(unit);
    expect(milliampsPerKelvin!).toBeGreaterThan(0.025);
    expect(milliampsPerKelvin!).toBeLessThan(0.06);
    expect(Math.abs(dryGrowth!.milliampsPerWeek)).toBeLessThan(0.075);
  });
});

describe('the load', () => {
  const stages = [
    [IDLE, 0],
    [FANS, 0.0006 * 5600],
    [IDLE, 0],
    [RUNNING, 0.0006 * 17_300],
  ] as const;

  it('adds the error of the sensor, which rest tells from the film', () => {
    const unit = new ObservedUnit();
    live(unit, 6, [40, 99], gentle, stages);
    const { loadMilliampsPerAmp, wetDay, side } = outlookOf(unit);
    expect(loadMilliampsPerAmp).toBeCloseTo(0.6, 1);
    expect(wetDay!.milliamps / gentle(95, 0)).toBeCloseTo(1, 0);
    expect(side).toBe('line');
  });

  it('fills in what rest did not see from running, less the error', () => {
    const unit = new ObservedUnit();
    live(unit, 4, [40, 62], gentle, stages);
    live(unit, 4, [60, 99], gentle, [[RUNNING, 0.0006 * 17_300]]);
    const { wetDay, basis } = outlookOf(unit);
    expect(basis).toBe('rest');
    expect(wetDay!.extrapolated).toBe(false);
    expect(wetDay!.lowerMilliamps).toBeLessThan(gentle(95, 0));
    expect(wetDay!.upperMilliamps).toBeGreaterThan(gentle(95, 0));
  });

  it('is where the leak is when rest stays dry with the same film', () => {
    const unit = new ObservedUnit();
    const wetMotor: Law = (percent, atMs) => (running(atMs) ? 8 * gentle(percent, atMs) : 0.5);
    const startMs = unit.atMs;
    const running = (atMs: number): boolean =>
      Math.floor((atMs - startMs) / (30 * MINUTE_MS)) % 2 === 1;
    live(unit, 6, [40, 99], wetMotor, [
      [IDLE, 0],
      [RUNNING, 0],
    ]);
    const { side, wetDay } = outlookOf(unit);
    expect(side).toBe('load');
    expect(wetDay!.milliamps).toBeGreaterThan(4 * gentle(95, 0));
  });

  it('is all there is where rest is never seen', () => {
    const unit = new ObservedUnit();
    live(unit, 4, [40, 99], gentle, [[RUNNING, 5]]);
    const { basis, wetDay, loadMilliampsPerAmp } = outlookOf(unit);
    expect(basis).toBe('running');
    expect(loadMilliampsPerAmp).toBeNull();
    expect(wetDay!.milliamps).toBeGreaterThan(5);
  });

  it('of a drive has an offset that goes with its speed, and the film stands on it', () => {
    const drive: Partial<Unit> = {
      drive: true,
      limits: { ...USUAL_LIMITS, ...DRIVE_LEAKAGE_LIMITS },
    };
    const unit = new ObservedUnit(unitLike(drive));
    const speeds = [0, 12, 25, 18, 0, 30].map(
      (addition) => [addition === 0 ? IDLE : RUNNING, addition] as const,
    );
    live(unit, 10, [40, 99], (percent, atMs) => 38 + 3 * gentle(percent, atMs), speeds);
    const { dryDay, wetDay } = outlookOf(unit);
    expect(dryDay!.milliamps).toBeCloseTo(38 + 3 * gentle(50, 0), 0);
    expect(wetDay!.lowerMilliamps).toBeLessThan(38 + 3 * gentle(95, 0));
    expect(wetDay!.upperMilliamps).toBeGreaterThan(38 + 3 * gentle(95, 0));
    expect(wetDay!.upperMilliamps).toBeLessThan(75);
  });
});

describe('what the node sends', () => {
  it('is learned from the resistive part where there is one, from then on', () => {
    const unit = new ObservedUnit();
    live(unit, 1, [45, 60], () => 2.5);
    live(unit, 1, [45, 60], () => 2.5, [[{ ...IDLE, leakr: 0.0004 }, 0]]);
    expect(outlookOf(unit).dryDay!.milliamps).toBeCloseTo(0.4, 1);
    live(unit, 0.5, [45, 60], () => 2.5);
    expect(outlookOf(unit).dryDay!.milliamps).toBeCloseTo(0.4, 1);
  });

  it('of peaks and bursts is told for wet films', () => {
    const unit = new ObservedUnit();
    live(
      unit,
      3,
      [40, 99],
      () => 4,
      undefined,
      () => ({ leakmax: 0.012, bursts: 3 }),
    );
    const { wetPeakRatio, wetBurstShare } = outlookOf(unit);
    expect(wetPeakRatio).toBeCloseTo(3, 1);
    expect(wetBurstShare).toBe(1);
    const plain = new ObservedUnit();
    live(plain, 3, [40, 99], () => 4);
    expect(outlookOf(plain).wetPeakRatio).toBeNull();
  });

  it('does not matter in which order channels of one moment come', () => {
    const together = new ObservedUnit();
    const apart = new ObservedUnit();
    for (let minute = 0; minute < 3000; minute += 2) {
      const air = { rh: 60 + 30 * Math.sin(minute / 300), t: 15 };
      const parts = [air, IDLE, { leak: 0.001 + 0.00001 * air.rh }];
      together.read(...parts);
      for (const part of parts) apart.read(part);
      together.atMs += CADENCE_MS;
      apart.atMs += CADENCE_MS;
    }
    expect(apart.state.response).toEqual(together.state.response);
  });
});

describe('what comes between', () => {
  it('a changed sensor moves all that was learned, and is not growth', () => {
    const unit = new ObservedUnit();
    live(unit, 28, [40, 99], gentle);
    live(unit, 0.2, [40, 50], gentle);
    live(unit, 21, [40, 45], (percent, atMs) => gentle(percent, atMs) + 4);
    const { wetDay, dryGrowth, dryDay } = outlookOf(unit);
    expect(dryDay!.milliamps).toBeCloseTo(gentle(48, 0) + 4, 0);
    expect(wetDay!.milliamps).toBeCloseTo(gentle(95, 0) + 4, 0);
    expect(Math.abs(dryGrowth!.milliampsPerWeek)).toBeLessThan(0.1);
  });

  it('a dry floor that a wetting leaves higher is growth, not a changed sensor', () => {
    const unit = new ObservedUnit();
    const firstWettestMs = unit.atMs + 12 * HOUR_MS;
    const week = (atMs: number): number =>
      Math.floor((atMs - firstWettestMs) / (7 * 24 * HOUR_MS)) + 1;
    live(unit, 42, [40, 99], (_, atMs) => 1 + 0.8 * week(atMs));
    expect(outlookOf(unit).dryGrowth!.milliampsPerWeek).toBeGreaterThan(0.6);
  });

  it('an off-season leaves what was learned, with wider limits', () => {
    const unit = new ObservedUnit();
    live(unit, 6, [40, 99], gentle);
    const { wetDay: before } = outlookOf(unit);
    live(unit, 90, [40, 55], gentle);
    const { wetDay: after, missingBands } = outlookOf(unit);
    expect(after!.milliamps).toBe(before!.milliamps);
    expect(after!.upperMilliamps).toBeGreaterThan(before!.upperMilliamps);
    expect(missingBands).toEqual([]);
  });

  it('a gap of two months is survived, and new weather soon counts', () => {
    const unit = new ObservedUnit();
    live(unit, 5, [40, 99], gentle);
    unit.atMs += 60 * 24 * HOUR_MS;
    live(unit, 2, [40, 99], (percent, atMs) => 3 * gentle(percent, atMs));
    expect(outlookOf(unit).wetDay!.milliamps).toBeGreaterThan(2.3 * gentle(95, 0));
  });

  it('a wild reading now and then moves nothing far', () => {
    const unit = new ObservedUnit();
    live(unit, 4, [40, 99], gentle);
    live(unit, 4, [40, 99], (percent, atMs) =>
      Math.floor(atMs / (30 * MINUTE_MS)) % 17 === 0 ? 400 : gentle(percent, atMs),
    );
    const { wetDay } = outlookOf(unit);
    expect(wetDay!.milliamps).toBeLessThan(2 * gentle(95, 0));
  });
});

describe('a repair', () => {
  function repaired(): ObservedUnit {
    const unit = new ObservedUnit();
    live(unit, 28, [40, 99], (percent, atMs) => 4 * gentle(percent, atMs));
    unit.service('cleaned');
    unit.service('contactor-replaced');
    return unit;
  }

  it('starts anew, keeps what was, and waits for weather', () => {
    const unit = repaired();
    live(unit, 2, [40, 72], gentle);
    const { repair } = outlookOf(unit);
    expect(repair).toMatchObject({ testedByWeather: false });
    expect(repair!.wetBeforeMilliamps! / (4 * gentle(95, 0))).toBeCloseTo(1, 0);
    expect(repair!.dryBeforeMilliamps! / (4 * gentle(50, 0))).toBeCloseTo(1, 0);
    expect(repair!.matched!.humidityPercent).toBe(70);
    expect(repair!.matched!.afterMilliamps).toBeLessThan(0.4 * repair!.matched!.beforeMilliamps);
  });

  it('is tested by the first film above 85 %RH, and compared at matched humidity', () => {
    const unit = repaired();
    live(unit, 3, [40, 99], gentle);
    const { repair, wetDay } = outlookOf(unit);
    expect(repair!.testedByWeather).toBe(true);
    expect(repair!.matched!.humidityPercent).toBe(95);
    expect(repair!.matched!.beforeMilliamps).toBe(repair!.wetBeforeMilliamps);
    expect(wetDay!.milliamps).toBeLessThan(1.6 * gentle(95, 0));
  });

  it('of what lets water in starts nothing anew', () => {
    const unit = new ObservedUnit();
    live(unit, 6, [40, 99], gentle);
    const before = unit.state.response;
    for (const action of ['sealed', 'gasket-replaced', 'drain-cleared']) unit.service(action);
    expect(unit.state.response).toBe(before);
  });
});

describe('the state', () => {
  it('stays small with every stage and band seen, and can be saved', () => {
    const unit = new ObservedUnit();
    const loads = [0.42, 2.2, 5.6, 17.3, 40, 90].map(
      (amps, index) => [{ ia: amps, ib: amps * 0.98, ic: amps }, 1.234 * index] as const,
    );
    const noisy: Law = (percent, atMs) =>
      (1.2 + 0.3 * Math.sin(atMs / 7e5)) * gentle(percent, atMs);
    live(unit, 30, [40, 99], noisy, loads);
    unit.service('cleaned');
    live(unit, 90, [38, 99.5], noisy, loads, () => ({ leakmax: 0.0123, bursts: 2 }));
    const saved: unknown = JSON.parse(JSON.stringify(unit.state));
    expect(restoreWatchState(saved)).toEqual(unit.state);
    expect(JSON.stringify(unit.state.response).length).toBeLessThan(1100);
  });
});

it('says nothing of the side where rest was wet only before the track grew', () => {
  const unit = new ObservedUnit();
  live(unit, 5, [40, 96], () => 0.6, [
    [IDLE, 0],
    [RUNNING, 0],
  ]);
  live(unit, 4, [40, 96], gentle, [[RUNNING, 0]]);
  expect(outlookOf(unit).side).toBe('undetermined');
  live(unit, 2, [40, 96], gentle, [
    [IDLE, 0],
    [RUNNING, 0],
  ]);
  expect(outlookOf(unit).side).toBe('line');
});

describe('what a wet day will bring', () => {
  const steep: Law = (percent) => 0.5 + 0.012 * Math.exp(0.18 * (percent - 50));

  it('makes a leakage that comes back urgent before the wet day comes back', () => {
    const unit = new ObservedUnit();
    live(unit, 8, [40, 60], () => 0.6);
    live(unit, 3, [40, 97], steep);
    live(unit, 17, [30, 50], steep);
    const before = unit.story('leakage');
    expect(before.at(-1)).toBe('closed');
    live(unit, 1, [40, 86], steep);
    expect(steep(86, 0)).toBeLessThan(10);
    expect(unit.story('leakage').slice(before.length)).toEqual([
      'opened routine',
      'escalated urgent',
    ]);
    expect(unit.of('leakage').at(-1)).toMatchObject({
      headline: expect.stringMatching(/mA on a wet day$/),
      evidence: { wetDayMilliamps: expect.any(Number) },
    });
  });

  it('changes nothing where the response is gentle, or the supply holds the current down', () => {
    const flat: Law = (percent) => 3 + 0.5 * Math.exp(0.05 * (percent - 50));
    const calm = new ObservedUnit();
    live(calm, 8, [40, 60], () => 0.6);
    live(calm, 3, [40, 88], flat);
    expect(calm.story('leakage')).toEqual(['opened routine']);
    const held = new ObservedUnit(
      unitLike({ supply: { ...unitLike().supply, grounding: 'high-resistance' } }),
    );
    live(held, 8, [40, 60], () => 0.6);
    live(held, 3, [40, 86], steep);
    expect(held.story('leakage')).toEqual(['opened routine']);
  });
});
