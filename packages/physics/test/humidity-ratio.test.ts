import {
  humidityRatioKilogramsPerKilogram,
  PhysicsRangeError,
  relativeHumidityPercent,
  standardAirPressurePascals,
  vapourPressureOfRatioPascals,
  vapourPressurePascals,
} from '@lineside/physics';
import fc from 'fast-check';
import psychrolib from 'psychrolib';
import { describe, expect, it } from 'vitest';
import { between } from './between.ts';

psychrolib.SetUnitSystem(psychrolib.SI);

const airPascals = between(30_000, 120_000);
const share = between(1e-6, 0.98);

describe('humidity ratio', () => {
  it('is that of psychrolib for a vapour pressure (the same formula, rel 1e-9)', () => {
    fc.assert(
      fc.property(airPascals, between(1e-3, 0.9), (air, part) => {
        const reference = psychrolib.GetHumRatioFromVapPres(part * air, air);
        const found = humidityRatioKilogramsPerKilogram(part * air, air);
        expect(Math.abs(found / reference - 1)).toBeLessThan(1e-9);
      }),
    );
  });

  // psychrolib 1.1.1 with its own saturation pressure; both forms lie within 0.04 % of IAPWS.
  it.each([
    [20, 50, 101_325, 0.00726174],
    [25, 60, 101_325, 0.01189505],
    [35, 40, 101_325, 0.01413165],
    [40, 80, 101_325, 0.03850087],
    [5, 90, 101_325, 0.00485753],
    [60, 10, 101_325, 0.01248751],
    [30, 50, 95_461, 0.01414642],
  ])('of air of %d C, %d %%RH at %d Pa is %d', (celsius, humidity, air, ratio) => {
    const found = humidityRatioKilogramsPerKilogram(vapourPressurePascals(humidity, celsius), air);
    expect(Math.abs(found / ratio - 1)).toBeLessThan(5e-4);
  });

  it('is inverted, and rises with the vapour pressure', () => {
    fc.assert(
      fc.property(airPascals, share, (air, part) => {
        const ratio = humidityRatioKilogramsPerKilogram(part * air, air);
        const back = vapourPressureOfRatioPascals(ratio, air);
        expect(Math.abs(back / (part * air) - 1)).toBeLessThan(1e-9);
        expect(humidityRatioKilogramsPerKilogram(1.001 * part * air, air)).toBeGreaterThan(ratio);
      }),
    );
  });
});

describe('relative humidity', () => {
  it('inverts the vapour pressure', () => {
    fc.assert(
      fc.property(between(0, 100), between(-60, 99), (humidity, celsius) => {
        const back = relativeHumidityPercent(vapourPressurePascals(humidity, celsius), celsius);
        expect(Math.abs(back - humidity)).toBeLessThan(1e-9);
      }),
    );
  });

  it('passes 100 % at a surface below the dew point', () => {
    expect(relativeHumidityPercent(vapourPressurePascals(70, 20), 12)).toBeGreaterThan(100);
  });
});

describe('air pressure of the standard atmosphere', () => {
  it('is that of psychrolib (the same formula, rel 1e-9) and falls with altitude', () => {
    fc.assert(
      fc.property(between(-500, 8999), (metres) => {
        const found = standardAirPressurePascals(metres);
        const reference = psychrolib.GetStandardAtmPressure(metres);
        expect(Math.abs(found / reference - 1)).toBeLessThan(1e-9);
        expect(standardAirPressurePascals(metres + 1)).toBeLessThan(found);
      }),
    );
  });
});

describe('input outside the range', () => {
  it.each<[string, () => number, string]>([
    ['air of 20 kPa', () => humidityRatioKilogramsPerKilogram(900, 20_000), '30000 to 120000'],
    ['steam', () => humidityRatioKilogramsPerKilogram(100_500, 101_325), 'vapour pressure in Pa'],
    ['a ratio below zero', () => vapourPressureOfRatioPascals(-0.1), 'humidity ratio'],
    ['an altitude of NaN', () => standardAirPressurePascals(Number.NaN), 'altitude in m'],
    ['vapour of -1 Pa', () => relativeHumidityPercent(-1, 20), 'vapour pressure in Pa'],
    ['steam at -90 C', () => relativeHumidityPercent(100_000, -90), 'times saturation'],
  ])('is refused: %s', (_name, call, words) => {
    expect(call).toThrow(PhysicsRangeError);
    expect(call).toThrow(words);
  });
});
