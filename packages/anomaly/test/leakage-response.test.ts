import {
  type CurvePoint,
  conditionOf,
  dryGrowth,
  leakageAt,
  restoreWatchState,
  risingLevels,
  timeToLimit,
  wetGrowth,
} from '@lineside/anomaly';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { HOUR_MS, IDLE, leaking, MINUTE_MS, ObservedUnit, RUNNING } from './observed-unit.ts';

const HUMIDITIES = [38, 50, 60, 68.5, 75, 80.5, 85.5, 90.5, 96] as const;

function pointsOf(law: (percent: number) => number, upTo = 100): CurvePoint[] {
  return HUMIDITIES.filter((percent) => percent <= upTo).map((humidityPercent) => ({
    humidityPercent,
    milliamps: law(humidityPercent),
    spreadMilliamps: 0.1 * law(humidityPercent),
    hours: 6,
  }));
}

const steep = (percent: number): number => Math.exp(0.08 * (percent - 60));

describe('the leakage at a humidity', () => {
  it('is what was seen there, and the truth lies within its limits', () => {
    const wet = leakageAt(pointsOf(steep), 95)!;
    expect(wet.extrapolated).toBe(false);
    expect(wet.milliamps).toBeCloseTo(steep(95), 0);
    expect(wet.lowerMilliamps).toBeLessThan(steep(95));
    expect(wet.upperMilliamps).toBeGreaterThan(steep(95));
  });

  it('follows the own slope of the unit beyond what was seen, with wide limits', () => {
    const wet = leakageAt(pointsOf(steep, 81), 95)!;
    expect(wet.extrapolated).toBe(true);
    expect(wet.milliamps / steep(95)).toBeGreaterThan(0.7);
    expect(wet.milliamps / steep(95)).toBeLessThan(1.4);
    expect(wet.lowerMilliamps).toBeLessThan(steep(95));
    expect(wet.upperMilliamps).toBeGreaterThan(steep(95));
    const seen = leakageAt(pointsOf(steep), 95)!;
    expect(wet.upperMilliamps).toBeGreaterThan(seen.upperMilliamps);
  });

  it('is not known far from all that was seen', () => {
    expect(leakageAt(pointsOf(steep, 55), 95)).toBeNull();
    expect(leakageAt([], 50)).toBeNull();
  });

  it('never falls with humidity, stays within its limits, and is a number', () => {
    const point = fc.record({
      milliamps: fc.integer({ min: 0, max: 500_000 }).map((value) => value / 1000),
      spreadMilliamps: fc.integer({ min: 0, max: 100_000 }).map((value) => value / 1000),
      hours: fc.integer({ min: 1, max: 16 }).map((value) => value / 2),
      seen: fc.boolean(),
    });
    const drawn = fc.array(point, { minLength: 9, maxLength: 9 });
    fc.assert(
      fc.property(drawn, (rows) => {
        const points = rows.flatMap(({ seen, ...rest }, index) =>
          seen ? [{ humidityPercent: HUMIDITIES[index]!, ...rest }] : [],
        );
        let before = 0;
        for (let percent = 30; percent <= 100; percent += 1) {
          const found = leakageAt(points, percent);
          if (found === null) continue;
          const { milliamps, lowerMilliamps, upperMilliamps } = found;
          expect(Number.isFinite(upperMilliamps)).toBe(true);
          expect(lowerMilliamps).toBeLessThanOrEqual(milliamps);
          expect(upperMilliamps).toBeGreaterThanOrEqual(milliamps);
          expect(milliamps).toBeGreaterThanOrEqual(before - 0.011);
          before = milliamps;
        }
      }),
    );
  });

  it('pools what does not rise by the hours it was seen', () => {
    const of = (milliamps: number, hours: number, humidityPercent: number): CurvePoint => ({
      humidityPercent,
      milliamps,
      spreadMilliamps: 0,
      hours,
    });
    const [low, pooled, same] = risingLevels([of(1, 1, 50), of(8, 3, 60), of(2, 1, 70)]);
    expect(Math.exp(low!)).toBeCloseTo(1, 9);
    expect(Math.exp(pooled!)).toBeCloseTo(8 ** 0.75 * 2 ** 0.25, 9);
    expect(same).toBe(pooled);
  });
});

describe('growth', () => {
  const weeks = [1, 2, 3, 4, 5, 6, 7, 8].map(
    (week) => [week, 1 + 0.2 * week, 5 + week, 92] as const,
  );

  it("is Sen's slope per week, with limits, after three weeks", () => {
    expect(wetGrowth(weeks)).toMatchObject({ milliampsPerWeek: 1, weeks: 8 });
    expect(dryGrowth(weeks)?.milliampsPerWeek).toBeCloseTo(0.2, 9);
    expect(dryGrowth(weeks.slice(0, 2))).toBeNull();
  });

  it('of wet days leaves out weeks that stayed dry', () => {
    const dry = weeks.map(([week, low, wet]) => [week, low, wet, 70] as const);
    expect(wetGrowth(dry)).toBeNull();
  });

  it('tells the days to a limit only where it grows beyond doubt', () => {
    expect(timeToLimit(16, 30, wetGrowth(weeks))).toMatchObject({ days: 98 });
    expect(timeToLimit(40, 30, wetGrowth(weeks))).toMatchObject({ days: 0 });
    const still = weeks.map(([week, low]) => [week, low, 5, 92] as const);
    expect(timeToLimit(16, 30, wetGrowth(still))).toBeNull();
    expect(timeToLimit(16, 30, null)).toBeNull();
  });
});

/** Days whose humidity swings between the two, with a leakage that follows it. */
function live(
  unit: ObservedUnit,
  days: number,
  [dry, wet]: readonly [number, number],
  law: (percent: number) => number,
  load = IDLE,
): void {
  for (let hour = 0; hour < 24 * days; hour += 1) {
    const swing = 0.5 - 0.5 * Math.cos((2 * Math.PI * hour) / 24);
    const rh = dry + (wet - dry) * swing;
    unit.hold(60, [{ rh, t: 15 }, load, leaking(law(rh))], 2 * MINUTE_MS);
  }
}

function outlookOf(unit: ObservedUnit) {
  return conditionOf(unit.state, unit.unit)?.leakageOutlook ?? null;
}

const gentle = (percent: number): number => 0.4 * Math.exp(0.03 * (percent - 50));

describe('the outlook of a unit', () => {
  it('gives dry- and wet-day leakage from the own response, within its limits', () => {
    const unit = new ObservedUnit();
    live(unit, 6, [40, 98], gentle);
    const outlook = outlookOf(unit)!;
    expect(outlook.dryDay!.lowerMilliamps).toBeLessThanOrEqual(gentle(50));
    expect(outlook.dryDay!.upperMilliamps).toBeGreaterThanOrEqual(gentle(50));
    expect(outlook.wetDay!.lowerMilliamps).toBeLessThanOrEqual(gentle(95));
    expect(outlook.wetDay!.upperMilliamps).toBeGreaterThanOrEqual(gentle(95));
    expect(outlook.seenToPercent).toBeGreaterThan(90);
  });

  it('forecasts a wet day from damp ones', () => {
    const unit = new ObservedUnit();
    live(unit, 8, [40, 84], gentle);
    const { wetDay } = outlookOf(unit)!;
    expect(wetDay!.extrapolated).toBe(true);
    expect(wetDay!.lowerMilliamps).toBeLessThanOrEqual(gentle(95));
    expect(wetDay!.upperMilliamps).toBeGreaterThanOrEqual(gentle(95));
  });

  it('sees growth over the weeks, and its time', () => {
    const unit = new ObservedUnit();
    for (let week = 0; week < 6; week += 1) {
      live(unit, 7, [42, 97], (percent) => (1 + 0.35 * week) * gentle(percent));
    }
    const { wetGrowth: growth } = outlookOf(unit)!;
    expect(growth!.milliampsPerWeek).toBeGreaterThan(0.25 * gentle(95));
    expect(growth!.milliampsPerWeek).toBeLessThan(0.45 * gentle(95));
  });

  it('goes on from running where rest is never seen', () => {
    const unit = new ObservedUnit();
    live(unit, 4, [40, 97], gentle, RUNNING);
    expect(outlookOf(unit)!.wetDay).not.toBeNull();
  });

  it('prefers the resistive part where the node sends it', () => {
    const unit = new ObservedUnit();
    for (let hour = 0; hour < 24; hour += 1) {
      const rh = 45 + 2 * hour;
      unit.hold(60, [{ rh, t: 15 }, IDLE, leaking(2.5), { leakr: 0.0004 }], 2 * MINUTE_MS);
    }
    expect(outlookOf(unit)!.dryDay!.milliamps).toBeCloseTo(0.4, 1);
  });

  it('starts anew with a repair, keeps what was, and waits for weather', () => {
    const unit = new ObservedUnit();
    live(unit, 6, [40, 98], (percent) => 4 * gentle(percent));
    unit.service('cleaned');
    unit.service('contactor-replaced');
    live(unit, 2, [40, 70], gentle);
    const dry = outlookOf(unit)!;
    expect(dry.repair).toMatchObject({ testedByWeather: false });
    expect(dry.repair!.wetBeforeMilliamps!).toBeGreaterThan(3 * gentle(95));
    live(unit, 2, [40, 97], gentle);
    const tested = outlookOf(unit)!;
    expect(tested.repair).toMatchObject({ testedByWeather: true });
    expect(tested.wetDay!.milliamps).toBeLessThan(1.6 * gentle(95));
  });

  it('survives a gap of two months, and being saved', () => {
    const unit = new ObservedUnit();
    live(unit, 5, [40, 98], gentle);
    unit.atMs += 60 * 24 * HOUR_MS;
    live(unit, 1, [40, 60], gentle);
    expect(outlookOf(unit)!.wetDay).not.toBeNull();
    const saved: unknown = JSON.parse(JSON.stringify(unit.state));
    expect(restoreWatchState(saved)).toEqual(unit.state);
    expect(JSON.stringify(unit.state.response).length).toBeLessThan(1100);
  });
});
