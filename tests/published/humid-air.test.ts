import {
  absoluteHumidityGramsPerCubicMetre,
  dewPointCelsius,
  humidityRatioKilogramsPerKilogram,
  relativeHumidityPercent,
  SEA_LEVEL_PASCALS,
  saturationOverIcePascals,
  saturationOverWaterPascals,
  standardAirPressurePascals,
  vapourPressurePascals,
} from '@lineside/physics';
import { describe, expect, it } from 'vitest';

function relativeError(found: number, published: number): number {
  return Math.abs(found / published - 1);
}

describe('ASHRAE Fundamentals 2017 chapter 1', () => {
  // Table 2, as carried by the tests of psychrolib. The table is of real gas, the formula of ideal
  // gases: 0.5 % apart up to 25 C, 1 % at 50 C and 2 % at 85 C.
  it.each([
    [5, 0.005425, 6e-3],
    [25, 0.020173, 6e-3],
    [50, 0.086863, 1e-2],
    [85, 0.838105, 2e-2],
  ])('saturated air at %d C carries %d kg of water per kg (table 2)', (t, ratio, tolerance) => {
    const found = humidityRatioKilogramsPerKilogram(saturationOverWaterPascals(t));
    expect(relativeError(found, ratio)).toBeLessThan(tolerance);
  });

  it.each([
    [-50, 0.0000243, 1e-2],
    [-20, 0.0006373, 6e-3],
    [-5, 0.0024863, 6e-3],
  ])('air saturated over ice at %d C carries %d kg per kg (table 2)', (t, ratio, tolerance) => {
    const found = humidityRatioKilogramsPerKilogram(saturationOverIcePascals(t));
    expect(relativeError(found, ratio)).toBeLessThan(tolerance);
  });

  // From memory, not read: table 2 at 0, 20 and 40 C. Tolerances as above.
  it.each([
    [0, 0.003789],
    [20, 0.014761],
    [40, 0.04914],
  ])('saturated air at %d C carries %d kg per kg (from memory)', (t, ratio) => {
    const found = humidityRatioKilogramsPerKilogram(saturationOverWaterPascals(t));
    expect(relativeError(found, ratio)).toBeLessThan(7e-3);
  });

  // Table 1, printed to whole pascals.
  it.each([
    [-500, 107_478],
    [0, 101_325],
    [500, 95_461],
    [1000, 89_875],
    [4000, 61_640],
  ])('the standard atmosphere at %d m has %d Pa (table 1)', (metres, pascals) => {
    expect(Math.abs(standardAirPressurePascals(metres) - pascals)).toBeLessThan(1);
  });

  it('gives the ratio of 3169.7 Pa at 95 461 Pa as psychrolib prints it (rel 1e-6)', () => {
    const found = humidityRatioKilogramsPerKilogram(3169.7, 95_461);
    expect(relativeError(found, 0.0213603998)).toBeLessThan(1e-6);
  });

  it('solves worked example 1: 40 C with 0.0065 kg/kg has 14 %RH and a dew point of 7 C', () => {
    // Printed to whole numbers; 14 %RH is 0.0064.
    const pascals = vapourPressurePascals(14, 40);
    expect(Math.abs(humidityRatioKilogramsPerKilogram(pascals) - 0.0065)).toBeLessThan(1e-4);
    expect(Math.abs(dewPointCelsius(pascals) - 7)).toBeLessThan(0.5);
  });
});

describe('handbook figures of saturated air', () => {
  // Smithsonian tables, from memory; printed to three figures.
  it.each([
    [0, 4.85],
    [10, 9.4],
    [20, 17.3],
    [25, 23],
    [30, 30.4],
    [40, 51.2],
  ])('at %d C it holds %d g/m3 (from memory)', (t, grams) => {
    const found = absoluteHumidityGramsPerCubicMetre(saturationOverWaterPascals(t), t);
    expect(relativeError(found, grams)).toBeLessThan(3e-3);
  });
});

describe('decoded airport reports', () => {
  // METAR messages of WMO FM 15, the first from ICAO Annex 3 example A3-1. Humidity follows from
  // temperature and dew point over water; Magnus of WMO-No. 8 gives these, 0.3 % beside Sonntag.
  it.each([
    [17, 16, 93.84],
    [-2, -16, 33.45],
    [-4, -6, 85.98],
    [26, 15, 50.75],
    [14, -7, 22.72],
    [14.4, -7.2, 21.81],
  ])('%d C with a dew point of %d C is %d %%RH', (celsius, dewPoint, humidity) => {
    const found = relativeHumidityPercent(saturationOverWaterPascals(dewPoint), celsius);
    expect(relativeError(found, humidity)).toBeLessThan(6e-3);
  });

  // Candanedo et al., Energy and Buildings 140 (2017) 81-97: airport rows with a printed dew point.
  // Whole per cents and tenths of a degree allow 0.3 K in a row, 0.08 K over many.
  const ROWS: readonly (readonly [number, number, number])[] = [
    [5.9, 92, 4.7],
    [-0.8, 84, -3.2],
    [9.8, 74, 5.3],
    [11.2, 76, 7],
    [3.3, 89, 1.6],
    [4.1, 72, -0.5],
    [7.3, 83, 4.6],
    [11.6, 73, 6.9],
    [10.4, 85, 7.9],
    [21.7, 39, 7.1],
    [7.7, 95, 7],
    [-2.5, 78, -5.8],
  ];

  it.each(ROWS)('%d C and %d %%RH were published with a dew point of %d C', (t, rh, dewPoint) => {
    const found = dewPointCelsius(vapourPressurePascals(rh, t));
    expect(Math.abs(found - dewPoint)).toBeLessThan(0.3);
  });

  it('come out 0.08 K beside the published dew points in the root mean square', () => {
    const squares = ROWS.map(
      ([t, rh, dewPoint]) => (dewPointCelsius(vapourPressurePascals(rh, t)) - dewPoint) ** 2,
    );
    const mean = squares.reduce((sum, square) => sum + square, 0) / squares.length;
    expect(Math.sqrt(mean)).toBeLessThan(0.08);
  });

  it('take sea level as 101 325 Pa', () => {
    expect(SEA_LEVEL_PASCALS).toBe(101_325);
  });
});
