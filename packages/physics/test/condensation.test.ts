import {
  condensingGramsPerSquareMetreHour,
  dewPointMarginKelvin,
  PhysicsRangeError,
  saturationOverWaterPascals,
  surfaceVapourPressurePascals,
  vapourPressurePascals,
} from '@lineside/physics';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from './between.ts';

const celsius = between(-50, 80);
const humidity = between(1, 100);
const coefficient = between(0.5, 100);

describe('water that a plate takes up', () => {
  it('is above zero exactly where the plate is below the deposition point', () => {
    fc.assert(
      fc.property(celsius, celsius, humidity, coefficient, (plate, air, rh, heatTransfer) => {
        const pascals = vapourPressurePascals(rh, air);
        const margin = dewPointMarginKelvin(plate, pascals);
        fc.pre(Math.abs(margin) > 1e-3);
        const flux = condensingGramsPerSquareMetreHour(plate, air, pascals, heatTransfer);
        expect(Math.sign(flux)).toBe(-Math.sign(margin));
      }),
    );
  });

  it('is proportional to the heat transfer and grows with the vapour in the air', () => {
    fc.assert(
      fc.property(celsius, celsius, humidity, coefficient, (plate, air, rh, heatTransfer) => {
        const pascals = vapourPressurePascals(rh, air);
        const flux = condensingGramsPerSquareMetreHour(plate, air, pascals, heatTransfer);
        const twice = condensingGramsPerSquareMetreHour(plate, air, pascals, 2 * heatTransfer);
        expect(Math.abs(twice - 2 * flux)).toBeLessThanOrEqual(1e-9 * Math.abs(flux));
        expect(
          condensingGramsPerSquareMetreHour(plate, air, 1.01 * pascals, heatTransfer),
        ).toBeGreaterThan(flux);
      }),
    );
  });

  // EN ISO 13788 and its forerunners take 7e-9 kg/(m2 s Pa) for each W/(m2 K) of convection (from
  // memory); textbooks spread by 10 % with the Lewis number.
  it.each([0, 10, 20, 30])('at %d C is what building physics takes, within 10 %%', (plate) => {
    const pascals = saturationOverWaterPascals(plate) + 1000;
    const flux = condensingGramsPerSquareMetreHour(plate, plate, pascals, 3);
    const expected = 7e-9 * 3 * 1000 * 1000 * 3600;
    expect(Math.abs(flux / expected - 1)).toBeLessThan(0.1);
  });

  it('is tens of grams a square metre and hour on a plate 5 K below the dew point of 15 C', () => {
    const pascals = saturationOverWaterPascals(15);
    const flux = condensingGramsPerSquareMetreHour(10, 18, pascals, 4);
    expect(flux).toBeGreaterThan(20);
    expect(flux).toBeLessThan(80);
  });

  it('never finds less vapour at a warmer surface, across 0 C too', () => {
    fc.assert(
      fc.property(
        between(-5, 5),
        between(0, 5),
        (low, step) =>
          surfaceVapourPressurePascals(low + step) >= surfaceVapourPressurePascals(low),
      ),
    );
  });

  it.each([
    [Number.NaN, 20, 1000, 5, 'plate temperature'],
    [10, 101, 1000, 5, 'air temperature'],
    [10, 20, -1, 5, 'vapour pressure'],
    [10, 20, 1000, 0, 'heat transfer'],
    [10, 20, 1000, Infinity, 'heat transfer'],
  ])('refuses plate %d, air %d C, %d Pa, %d W/(m2 K): %s', (plate, air, pascals, h, quantity) => {
    const call = (): number => condensingGramsPerSquareMetreHour(plate, air, pascals, h);
    expect(call).toThrow(PhysicsRangeError);
    expect(call).toThrow(quantity);
  });
});
