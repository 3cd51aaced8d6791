import {
  dewPointCelsius,
  frostPointCelsius,
  PhysicsRangeError,
  saturationOverIcePascals,
  saturationOverWaterPascals,
} from '@lineside/physics';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from './between.ts';

function relativeError(value: number, reference: number): number {
  return Math.abs(value / reference - 1);
}

describe('saturation over liquid water', () => {
  // IAPWS SR1-86, evaluated independently; below 0 C it is extrapolated outside its formal range.
  // Sonntag's form is known to stay within 0.04 % of it; the table's last digit adds nothing.
  it.each([
    [-40, 19.046, 8e-4],
    [-20, 125.604, 4e-4],
    [-10, 286.533, 4e-4],
    [0, 611.2128, 4e-4],
    [10, 1228.1122, 4e-4],
    [20, 2339.1937, 4e-4],
    [25, 3169.8245, 4e-4],
    [30, 4246.9199, 4e-4],
    [40, 7385.1105, 4e-4],
    [50, 12352.4789, 4e-4],
  ])('at %d C agrees with IAPWS (%d Pa)', (celsius, pascals, tolerance) => {
    expect(relativeError(saturationOverWaterPascals(celsius), pascals)).toBeLessThan(tolerance);
  });

  // ASHRAE Handbook Fundamentals 2017, chapter 1, table 3; the table prints four to six figures
  // and the formulas differ by 0.03 %, so half a unit of the last digit and 4e-4 are allowed.
  it.each([
    [5, 872.6],
    [25, 3169.7],
    [50, 12351.3],
    [100, 101418],
  ])('at %d C agrees with ASHRAE table 3 (%d Pa)', (celsius, pascals) => {
    expect(relativeError(saturationOverWaterPascals(celsius), pascals)).toBeLessThan(4e-4);
  });

  it('agrees with the IF97 check value at 300 K (table 35: 3.53658941 kPa)', () => {
    expect(relativeError(saturationOverWaterPascals(26.85), 3536.58941)).toBeLessThan(4e-4);
  });

  it('rises strictly with temperature', () => {
    fc.assert(
      fc.property(
        between(-100, 99.9),
        between(0.001, 0.1),
        (celsius, step) =>
          saturationOverWaterPascals(celsius + step) > saturationOverWaterPascals(celsius),
      ),
    );
  });
});

describe('saturation over ice', () => {
  // IAPWS R14-08 (sublimation). -60 C is ASHRAE table 3, printed as 1.08 +- 0.01.
  it.each([
    [-60, 1.08, 1e-2],
    [-40, 12.84117, 4e-4],
    [-20, 103.23903, 4e-4],
    [-10, 259.87381, 4e-4],
    [0, 611.15348, 4e-4],
  ])('at %d C agrees with the published %d Pa', (celsius, pascals, tolerance) => {
    expect(relativeError(saturationOverIcePascals(celsius), pascals)).toBeLessThan(tolerance);
  });

  it('agrees with the IAPWS check value at 230 K (8.94735 Pa)', () => {
    expect(relativeError(saturationOverIcePascals(230 - 273.15), 8.94735)).toBeLessThan(4e-4);
  });

  // Ratios of the Magnus forms of WMO-No. 8, which are good to 0.3 % each.
  it.each([
    [-5, 1.0509],
    [-10, 1.1045],
    [-20, 1.2199],
    [-30, 1.3457],
    [-40, 1.4803],
  ])('at %d C water lies above ice by the factor %d', (celsius, ratio) => {
    const found = saturationOverWaterPascals(celsius) / saturationOverIcePascals(celsius);
    expect(relativeError(found, ratio)).toBeLessThan(6e-3);
  });

  it('meets water at the triple point (611.657 Pa)', () => {
    expect(relativeError(saturationOverWaterPascals(0.01), 611.657)).toBeLessThan(1e-4);
    expect(relativeError(saturationOverIcePascals(0.01), 611.657)).toBeLessThan(1e-4);
  });
});

describe('dew point and frost point', () => {
  it('invert saturation over water over the whole range', () => {
    fc.assert(
      fc.property(between(-99.99, 99.99), (celsius) => {
        const found = dewPointCelsius(saturationOverWaterPascals(celsius));
        return Math.abs(found - celsius) < 1e-6;
      }),
    );
  });

  it('invert saturation over ice over the whole range', () => {
    fc.assert(
      fc.property(between(-99.99, 0), (celsius) => {
        const found = frostPointCelsius(saturationOverIcePascals(celsius));
        return Math.abs(found - celsius) < 1e-6;
      }),
    );
  });

  it('puts the frost point above the dew point below 0 C', () => {
    fc.assert(
      fc.property(between(0.01, 605), (pascals) => {
        return frostPointCelsius(pascals) > dewPointCelsius(pascals);
      }),
    );
  });
});

describe('input outside the range', () => {
  const TEMPERATURE = 'PHYSICS_TEMPERATURE_RANGE';
  const PRESSURE = 'PHYSICS_PRESSURE_RANGE';
  it.each<[string, () => number, string]>([
    ['water below -100 C', () => saturationOverWaterPascals(-100.1), TEMPERATURE],
    ['water above 100 C', () => saturationOverWaterPascals(100.1), TEMPERATURE],
    ['water at NaN', () => saturationOverWaterPascals(Number.NaN), TEMPERATURE],
    ['ice above the triple point', () => saturationOverIcePascals(0.02), TEMPERATURE],
    ['ice at NaN', () => saturationOverIcePascals(Number.NaN), TEMPERATURE],
    ['dew point of dry air', () => dewPointCelsius(0), PRESSURE],
    ['dew point of steam', () => dewPointCelsius(2e5), PRESSURE],
    ['dew point at NaN', () => dewPointCelsius(Number.NaN), PRESSURE],
    ['frost point of warm air', () => frostPointCelsius(700), PRESSURE],
    ['frost point of infinity', () => frostPointCelsius(Infinity), PRESSURE],
  ])('is refused: %s', (_name, call, code) => {
    expect(call).toThrow(PhysicsRangeError);
    expect(call).toThrow(expect.objectContaining({ code }));
    expect(call).toThrow(RangeError);
  });
});
