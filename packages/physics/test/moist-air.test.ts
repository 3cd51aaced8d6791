import {
  absoluteHumidityGramsPerCubicMetre,
  depositionPointCelsius,
  dewPointCelsius,
  dewPointMarginKelvin,
  frostPointCelsius,
  PhysicsRangeError,
  saturationOverIcePascals,
  saturationOverWaterPascals,
  vapourPressurePascals,
} from '@lineside/physics';
import fc from 'fast-check';
import psychrolib from 'psychrolib';
import { describe, expect, it } from 'vitest';
import { between } from './between.ts';

psychrolib.SetUnitSystem(psychrolib.SI);
const SEA_LEVEL_PASCALS = 101_325;

describe('dew point of warm air', () => {
  // psychrolib 1.1.1 (ASHRAE, Hyland and Wexler). Both forms lie within 0.04 % of IAPWS, which is
  // 0.01 K of dew point.
  it.each([
    [20, 50, 9.2724, 8.6437],
    [25, 60, 16.7011, 13.8196],
    [35, 40, 19.3846, 15.8295],
    [40, 80, 35.8775, 40.872],
    [5, 90, 3.4985, 6.1172],
    [60, 10, 17.4535, 12.9717],
  ])('at %d C and %d %%RH is %d C, and the air holds %d g/m3', (t, rh, dewPoint, grams) => {
    const pascals = vapourPressurePascals(rh, t);
    expect(Math.abs(dewPointCelsius(pascals) - dewPoint)).toBeLessThan(0.01);
    const found = absoluteHumidityGramsPerCubicMetre(pascals, t);
    expect(Math.abs(found / grams - 1)).toBeLessThan(5e-4);
  });

  it('is 7 C for ASHRAE worked example 1 (40 C, 14 %RH; printed to whole numbers)', () => {
    expect(Math.abs(dewPointCelsius(vapourPressurePascals(14, 40)) - 7)).toBeLessThan(0.5);
  });

  it('agrees with psychrolib everywhere above 0 C', () => {
    fc.assert(
      fc.property(between(1, 90), between(1, 100), (t, rh) => {
        const pascals = vapourPressurePascals(rh, t);
        // Below 0.01 C psychrolib's dew point is over ice: compare with the frost point there.
        const reference = psychrolib.GetTDewPointFromRelHum(t, rh / 100);
        const found = reference > 0.01 ? dewPointCelsius(pascals) : depositionPointCelsius(pascals);
        expect(Math.abs(found - reference)).toBeLessThan(0.02);
      }),
      { numRuns: 300 },
    );
  });
});

describe('air below 0 C', () => {
  // WMO-No. 8 Magnus forms, RH over liquid water, evaluated independently. They differ from
  // Sonntag's by up to 0.3 % of pressure, which is 0.03 K.
  it.each([
    [-20, 70, 88.176, -24.069, -21.635],
    [-10, 80, 229.625, -12.797, -11.387],
    [-5, 90, 379.966, -6.386, -5.65],
    [0, 60, 366.72, -6.85, -6.063],
    [5, 50, 435.871, -4.577, -4.043],
  ])(
    'at %d C and %d %%RH over water has %d Pa, dew point %d, frost point %d C',
    (t, rh, e, d, f) => {
      const pascals = vapourPressurePascals(rh, t);
      expect(Math.abs(pascals / e - 1)).toBeLessThan(3.5e-3);
      expect(Math.abs(dewPointCelsius(pascals) - d)).toBeLessThan(0.04);
      expect(Math.abs(frostPointCelsius(pascals) - f)).toBeLessThan(0.04);
    },
  );

  it('agrees with psychrolib once its RH over ice is turned into RH over water', () => {
    fc.assert(
      fc.property(between(-60, -1), between(5, 80), (t, rhOverWater) => {
        const ratio = saturationOverWaterPascals(t) / saturationOverIcePascals(t);
        const overIce = (rhOverWater / 100) * ratio;
        fc.pre(overIce <= 1);
        const reference = psychrolib.GetTDewPointFromRelHum(t, overIce);
        const found = frostPointCelsius(vapourPressurePascals(rhOverWater, t));
        expect(Math.abs(found - reference)).toBeLessThan(0.02);
      }),
      { numRuns: 300 },
    );
  });
});

describe('deposition point and margin', () => {
  it('never falls as vapour pressure rises, and is continuous at 0 C', () => {
    fc.assert(
      fc.property(
        between(0.01, 90_000),
        between(1.000001, 1.01),
        (pascals, factor) =>
          depositionPointCelsius(pascals * factor) >= depositionPointCelsius(pascals),
      ),
    );
    expect(Math.abs(depositionPointCelsius(611.2))).toBeLessThan(0.001);
    expect(Math.abs(depositionPointCelsius(611.22))).toBeLessThan(0.001);
  });

  it('is zero on a surface at the dew point and negative below it', () => {
    const pascals = saturationOverWaterPascals(12);
    expect(Math.abs(dewPointMarginKelvin(12, pascals))).toBeLessThan(1e-6);
    expect(dewPointMarginKelvin(9, pascals)).toBeCloseTo(-3, 6);
  });

  // Depressions 20/50, 25/60, 5/90, 40/80: psychrolib 1.1.1, printed to 0.01 K.
  it.each([
    [20, 50, 10.73],
    [25, 60, 8.3],
    [5, 90, 1.5],
    [40, 80, 4.12],
  ])('of a plate at air temperature is the depression: %d C, %d %%RH, %d K', (t, rh, kelvin) => {
    const margin = dewPointMarginKelvin(t, vapourPressurePascals(rh, t));
    expect(Math.abs(margin - kelvin)).toBeLessThan(0.02);
  });

  it('reaches zero on a frozen plate before the air is saturated over water', () => {
    const pascals = vapourPressurePascals(85, -20);
    expect(dewPointMarginKelvin(-20, pascals)).toBeLessThan(0.1);
    expect(dewPointCelsius(pascals)).toBeLessThan(-21.5);
  });
});

describe('saturated vapour density', () => {
  // Computed independently from ASHRAE eq. 5 and 6 with 461.523 J/(kg K); rel 5e-4 between forms.
  it.each([
    [0, 4.8479],
    [10, 9.3969],
    [20, 17.287],
    [25, 23.032],
    [30, 30.348],
    [40, 51.087],
  ])('at %d C is %d g/m3', (t, grams) => {
    const found = absoluteHumidityGramsPerCubicMetre(saturationOverWaterPascals(t), t);
    expect(Math.abs(found / grams - 1)).toBeLessThan(5e-4);
  });

  it('matches the humidity ratio of psychrolib through the ideal gas law', () => {
    const ratio = psychrolib.GetHumRatioFromRelHum(20, 0.5, SEA_LEVEL_PASCALS);
    const pascals = (SEA_LEVEL_PASCALS * ratio) / (0.621945 + ratio);
    expect(Math.abs(vapourPressurePascals(50, 20) / pascals - 1)).toBeLessThan(5e-4);
  });
});

describe('input outside the range', () => {
  it.each<[string, () => number, string]>([
    ['humidity above 100 %', () => vapourPressurePascals(100.1, 20), 'PHYSICS_HUMIDITY_RANGE'],
    ['negative humidity', () => vapourPressurePascals(-0.1, 20), 'PHYSICS_HUMIDITY_RANGE'],
    ['humidity NaN', () => vapourPressurePascals(Number.NaN, 20), 'PHYSICS_HUMIDITY_RANGE'],
    ['air of 101 C', () => vapourPressurePascals(50, 101), 'PHYSICS_TEMPERATURE_RANGE'],
    ['a surface of NaN', () => dewPointMarginKelvin(Number.NaN, 900), 'PHYSICS_TEMPERATURE_RANGE'],
    ['no vapour at all', () => dewPointMarginKelvin(20, 0), 'PHYSICS_PRESSURE_RANGE'],
    [
      'a negative vapour pressure',
      () => absoluteHumidityGramsPerCubicMetre(-1, 20),
      'PHYSICS_PRESSURE_RANGE',
    ],
    [
      'absolute humidity at NaN',
      () => absoluteHumidityGramsPerCubicMetre(900, Number.NaN),
      'PHYSICS_TEMPERATURE_RANGE',
    ],
  ])('is refused: %s', (_name, call, code) => {
    expect(call).toThrow(PhysicsRangeError);
    expect(call).toThrow(expect.objectContaining({ code }));
  });
});
