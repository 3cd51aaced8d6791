import { isTimeOfWetness, PhysicsRangeError, wetnessClass } from '@lineside/physics';
import { describe, expect, it } from 'vitest';

describe('the time-of-wetness criterion of ISO 9223', () => {
  it.each([
    [80.1, 0.1, true],
    [100, 25, true],
    [80, 10, false],
    [79.9, 10, false],
    [95, 0, false],
    [95, -5, false],
  ])('%d %%RH at %d C is wet: %s', (humidity, celsius, wet) => {
    expect(isTimeOfWetness(humidity, celsius)).toBe(wet);
  });

  it('counts exactly 80 % only when the threshold is inclusive', () => {
    const inclusive = { humidityPercent: 80, humidityInclusive: true };
    expect(isTimeOfWetness(80, 10, inclusive)).toBe(true);
    expect(isTimeOfWetness(79.99, 10, inclusive)).toBe(false);
    expect(isTimeOfWetness(80, 0, inclusive)).toBe(false);
  });

  it.each([
    [Number.NaN, 10],
    [101, 10],
    [-1, 10],
    [50, Number.NaN],
  ])('refuses %d %%RH at %d C', (humidity, celsius) => {
    expect(() => isTimeOfWetness(humidity, celsius)).toThrow(PhysicsRangeError);
  });
});

describe('classes of time of wetness', () => {
  // ISO 9223:1992 table 1: upper bounds 10, 250, 2500 and 5500 h a year, each inclusive.
  it.each([
    [0, 'tau1'],
    [10, 'tau1'],
    [10.01, 'tau2'],
    [250, 'tau2'],
    [250.5, 'tau3'],
    [2500, 'tau3'],
    [2501, 'tau4'],
    [5500, 'tau4'],
    [5501, 'tau5'],
    [8760, 'tau5'],
  ])('%d h a year is %s', (hours, expected) => {
    expect(wetnessClass(hours)).toBe(expected);
  });

  it.each([-1, 8785, Number.NaN, Infinity])('refuses %d h a year', (hours) => {
    expect(() => wetnessClass(hours)).toThrow(
      expect.objectContaining({ code: 'PHYSICS_DURATION_RANGE' }),
    );
  });
});
