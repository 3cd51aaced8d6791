import { type CurvePoint, leakageAt, risingLevels } from '@lineside/anomaly';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

const HUMIDITIES = [38, 50, 60, 70, 78.5, 85, 90.5, 95, 98.5] as const;

function pointsOf(law: (percent: number) => number, upTo = 100): CurvePoint[] {
  return HUMIDITIES.filter((percent) => percent <= upTo).map((humidityPercent) => ({
    humidityPercent,
    milliamps: law(humidityPercent),
    spreadMilliamps: 0.1 * law(humidityPercent),
    readings: 60,
    scatter: humidityPercent < 65 ? 0.1 : 0.25,
    trend: 0,
  }));
}

const steep = (percent: number): number => 0.5 + Math.exp(0.09 * (percent - 65));

const drawnPoints: fc.Arbitrary<CurvePoint[]> = fc
  .array(
    fc.record({
      milliamps: fc.integer({ min: 0, max: 500_000 }).map((value) => value / 1000),
      spreadMilliamps: fc.integer({ min: 0, max: 100_000 }).map((value) => value / 1000),
      readings: fc.integer({ min: 6, max: 60 }),
      scatter: fc.integer({ min: 5, max: 150 }).map((value) => value / 100),
      trend: fc.integer({ min: 0, max: 50 }).map((value) => value / 100),
      seen: fc.boolean(),
    }),
    { minLength: 9, maxLength: 9 },
  )
  .map((rows) =>
    rows.flatMap(({ seen, ...rest }, index) =>
      seen ? [{ humidityPercent: HUMIDITIES[index]!, ...rest }] : [],
    ),
  );

describe('the leakage at a humidity', () => {
  it('is what was seen there, and the truth lies within its limits', () => {
    const wet = leakageAt(pointsOf(steep), 95)!;
    expect(wet.extrapolated).toBe(false);
    expect(wet.milliamps).toBeCloseTo(steep(95), 1);
    expect(wet.lowerMilliamps).toBeLessThan(steep(95));
    expect(wet.upperMilliamps).toBeGreaterThan(steep(95));
  });

  it('follows the own slope of the unit beyond what was seen, with wider limits', () => {
    const wet = leakageAt(pointsOf(steep, 86), 95)!;
    expect(wet.extrapolated).toBe(true);
    expect(wet.milliamps / steep(95)).toBeGreaterThan(0.7);
    expect(wet.milliamps / steep(95)).toBeLessThan(1.4);
    const seen = leakageAt(pointsOf(steep), 95)!;
    expect(wet.upperMilliamps).toBeGreaterThan(seen.upperMilliamps);
    const earlier = leakageAt(pointsOf(steep, 79), 95)!;
    expect(earlier.upperMilliamps).toBeGreaterThan(wet.upperMilliamps);
  });

  it('tells a steep surface from a gentle one by what it saw', () => {
    const gentle = (percent: number): number => 0.5 + Math.exp(0.03 * (percent - 65));
    const ofSteep = leakageAt(pointsOf(steep, 86), 95)!;
    const ofGentle = leakageAt(pointsOf(gentle, 86), 95)!;
    expect(ofGentle.milliamps).toBeLessThan(0.4 * ofSteep.milliamps);
  });

  it('does not rule out a film that has not shown yet', () => {
    const { milliamps, upperMilliamps } = leakageAt(
      pointsOf(() => 0.8, 79),
      95,
    )!;
    expect(milliamps).toBeLessThan(2);
    expect(upperMilliamps).toBeGreaterThan(2);
  });

  it('is not known far from all that was seen', () => {
    expect(leakageAt(pointsOf(steep, 61), 95)).toBeNull();
    expect(leakageAt([], 50)).toBeNull();
  });

  it('never falls with humidity, stays within its limits, and is a number', () => {
    fc.assert(
      fc.property(drawnPoints, (points) => {
        let before = 0;
        for (let percent = 30; percent <= 100; percent += 0.5) {
          const found = leakageAt(points, percent);
          if (found === null) continue;
          const { milliamps, lowerMilliamps, upperMilliamps } = found;
          expect(Number.isFinite(upperMilliamps)).toBe(true);
          expect(lowerMilliamps).toBeGreaterThanOrEqual(0);
          expect(lowerMilliamps).toBeLessThanOrEqual(milliamps);
          expect(upperMilliamps).toBeGreaterThanOrEqual(milliamps);
          expect(milliamps).toBeGreaterThanOrEqual(before - 0.011);
          before = milliamps;
        }
      }),
    );
  });

  it('scales with what was seen, above the sensor floor', () => {
    const large = pointsOf((percent) => 20 * steep(percent), 86);
    const larger = large.map((point) => ({
      ...point,
      milliamps: 3 * point.milliamps,
      spreadMilliamps: 3 * point.spreadMilliamps,
    }));
    const one = leakageAt(large, 95)!;
    const three = leakageAt(larger, 95)!;
    expect(three.milliamps / one.milliamps).toBeCloseTo(3, 1);
    expect(three.upperMilliamps / one.upperMilliamps).toBeCloseTo(3, 1);
  });

  it('pools what does not rise by the readings it was seen in', () => {
    const of = (milliamps: number, readings: number, humidityPercent: number): CurvePoint => ({
      humidityPercent,
      milliamps,
      spreadMilliamps: 0,
      readings,
      scatter: 0.1,
      trend: 0,
    });
    const [low, pooled, same] = risingLevels([of(1, 1, 50), of(8, 3, 60), of(2, 1, 70)]);
    expect(low).toBeCloseTo(1, 9);
    expect(pooled).toBeCloseTo(8 ** 0.75 * 2 ** 0.25, 9);
    expect(same).toBe(pooled);
  });
});
