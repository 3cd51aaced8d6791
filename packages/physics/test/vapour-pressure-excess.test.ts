import {
  dewPointCelsius,
  dewPointErrorKelvin,
  PhysicsRangeError,
  saturationGrowthPerKelvin,
  saturationOverWaterPascals,
  vapourPressureErrorPascals,
  vapourPressureExcessErrorPascals,
  vapourPressureExcessPascals,
  vapourPressurePascals,
} from '@lineside/physics';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from './between.ts';

const celsius = between(-40, 80);
const humidity = between(5, 95);

describe('error of a vapour pressure', () => {
  it('is 95 Pa for 3 %RH at 25 C, whatever the humidity (a figure of the trade)', () => {
    expect(Math.round(vapourPressureErrorPascals(20, 25, 3, 0))).toBe(95);
    expect(Math.round(vapourPressureErrorPascals(80, 25, 3, 0))).toBe(95);
  });

  it('is what small errors of either sensor change', () => {
    fc.assert(
      fc.property(humidity, celsius, (rh, t) => {
        const at = vapourPressurePascals(rh, t);
        const fromHumidity = vapourPressurePascals(rh + 1, t) - at;
        expect(vapourPressureErrorPascals(rh, t, 1, 0) / fromHumidity).toBeCloseTo(1, 6);
        // 0.01 K, of which the curvature leaves less than a thousandth.
        const fromTemperature = vapourPressurePascals(rh, t + 0.01) - at;
        const found = vapourPressureErrorPascals(rh, t, 0, 0.01);
        expect(Math.abs(found / fromTemperature - 1)).toBeLessThan(1e-3);
      }),
    );
  });

  it('lies between the larger part and the sum of both', () => {
    fc.assert(
      fc.property(humidity, celsius, (rh, t) => {
        const humidityPart = vapourPressureErrorPascals(rh, t, 3, 0);
        const temperaturePart = vapourPressureErrorPascals(rh, t, 0, 0.5);
        const both = vapourPressureErrorPascals(rh, t, 3, 0.5);
        expect(both).toBeGreaterThan(Math.max(humidityPart, temperaturePart));
        expect(both).toBeLessThan(humidityPart + temperaturePart);
        expect(both).toBeCloseTo(
          vapourPressureExcessErrorPascals(humidityPart, temperaturePart),
          6,
        );
      }),
    );
  });
});

describe('saturation growth', () => {
  it('is the slope of the logarithm of saturation, and falls with temperature', () => {
    fc.assert(
      fc.property(between(-99, 99), (t) => {
        const growth = saturationGrowthPerKelvin(t);
        const above = saturationOverWaterPascals(t + 0.01);
        const below = saturationOverWaterPascals(t - 0.01);
        expect(Math.abs(Math.log(above / below) / 0.02 / growth - 1)).toBeLessThan(1e-5);
        expect(saturationGrowthPerKelvin(t + 1)).toBeLessThan(growth);
      }),
    );
  });
});

describe('vapour-pressure excess', () => {
  it('is zero when the same air is only warmed, and turns its sign with the sides', () => {
    fc.assert(
      fc.property(humidity, celsius, humidity, celsius, (rhIn, tIn, rhOut, tOut) => {
        const excess = vapourPressureExcessPascals(rhIn, tIn, rhOut, tOut);
        expect(vapourPressureExcessPascals(rhOut, tOut, rhIn, tIn) + excess).toBe(0);
      }),
    );
    const warmed = (100 * vapourPressurePascals(80, 10)) / saturationOverWaterPascals(30);
    expect(Math.abs(vapourPressureExcessPascals(warmed, 30, 80, 10))).toBeLessThan(1e-9);
  });
});

describe('error of a dew point', () => {
  it('is what a small error of the vapour pressure moves it by', () => {
    fc.assert(
      fc.property(between(1, 50_000), (pascals) => {
        const error = 1e-3 * pascals;
        const moved = dewPointCelsius(pascals + error) - dewPointCelsius(pascals);
        expect(Math.abs(dewPointErrorKelvin(pascals, error) / moved - 1)).toBeLessThan(2e-3);
      }),
    );
  });

  it('is half a kelvin for 3 %RH near saturation and above 2 K in air of 20 %RH', () => {
    const damp = dewPointErrorKelvin(
      vapourPressurePascals(95, 25),
      vapourPressureErrorPascals(95, 25, 3, 0),
    );
    const dry = dewPointErrorKelvin(
      vapourPressurePascals(20, 25),
      vapourPressureErrorPascals(20, 25, 3, 0),
    );
    expect(damp).toBeCloseTo(0.52, 1);
    expect(dry).toBeGreaterThan(2);
    expect(dry).toBeGreaterThan(3 * damp);
  });
});

describe('input outside the range', () => {
  it.each<[string, () => number, string]>([
    ['an error below zero', () => vapourPressureErrorPascals(50, 20, -1, 0), 'error of humidity'],
    [
      'a temperature error of NaN',
      () => vapourPressureErrorPascals(50, 20, 1, Number.NaN),
      'error of temperature',
    ],
    ['humidity outside', () => vapourPressureExcessPascals(50, 20, 120, 20), 'relative humidity'],
    ['an infinite error', () => vapourPressureExcessErrorPascals(1, Infinity), 'error outside'],
    ['a dew point of nothing', () => dewPointErrorKelvin(0, 1), 'vapour pressure in Pa'],
    ['growth at 101 C', () => saturationGrowthPerKelvin(101), 'temperature in C'],
  ])('is refused: %s', (_name, call, words) => {
    expect(call).toThrow(PhysicsRangeError);
    expect(call).toThrow(words);
  });
});
