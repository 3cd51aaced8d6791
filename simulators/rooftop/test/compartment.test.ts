import { saturationOverWaterPascals } from '@lineside/physics';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Compartment } from '../src/world/compartment.ts';
import { type CompartmentState, storedGrams } from '../src/world/compartment-state.ts';
import {
  OPENING_PLACES,
  type Opening,
  PLAIN_SURROUNDINGS,
  type Surroundings,
} from '../src/world/surroundings.ts';
import type { Weather } from '../src/world/weather.ts';

const BUILD = {
  airChangesPerHour: 2,
  windAirChanges: 0.15,
  stackAirChanges: 0.1,
  skinCoupling: 0.8,
};
const NO_HEAT = { airWatts: 0, plateWatts: 0 };
const EAST: Opening = { facingDegrees: 90, catchSquareMetres: 0.02, drainBlocked: false };

function weatherOf(
  fields: Partial<Weather> & { celsius: number; humidityPercent: number },
): Weather {
  return {
    atMs: 0,
    vapourPascals: (fields.humidityPercent / 100) * saturationOverWaterPascals(fields.celsius),
    windMetresPerSecond: 3,
    windFromDegrees: 90,
    rainMm: 0,
    snowMm: 0,
    pressurePascals: 101_325,
    cloudShare: 1,
    skyCelsius: fields.celsius - 2,
    sunWattsPerSquareMetre: 0,
    ...fields,
  };
}

function resting(
  weather: Weather,
  openings: readonly Opening[] = [],
  surroundings: Partial<Surroundings> = {},
): Compartment {
  return new Compartment(BUILD, { ...PLAIN_SURROUNDINGS, ...surroundings }, openings, weather);
}

/** Every minute of some hours of unchanging weather; the state is the same object throughout. */
function run(
  compartment: Compartment,
  weather: Weather,
  hours: number,
  heat = NO_HEAT,
): CompartmentState {
  for (let minute = 0; minute < hours * 60; minute += 1) {
    compartment.step(weather, heat, false, minute * 60_000, 60);
  }
  return compartment.state;
}

function excessPascals(state: CompartmentState, weather: Weather): number {
  return state.vapourPascals - weather.vapourPascals;
}

describe('a compartment', () => {
  it('follows the air outside when nothing is wrong', () => {
    const before = weatherOf({ celsius: 5, humidityPercent: 60 });
    const after = weatherOf({ celsius: 12, humidityPercent: 70 });
    const made = resting(before);
    run(made, before, 6);
    const state = run(made, after, 12);
    expect(Math.abs(excessPascals(state, after))).toBeLessThan(5);
    expect(state.airCelsius).toBeCloseTo(12, 0);
    expect(state.filmGramsPerSquareMetre).toBe(0);
  });

  it('has a plate colder than the air outside in a clear calm night, and dew on it', () => {
    const night = weatherOf({
      celsius: 8,
      humidityPercent: 92,
      skyCelsius: -12,
      windMetresPerSecond: 0.5,
    });
    const state = run(resting(night), night, 8);
    expect(state.plateCelsius).toBeLessThan(7);
    expect(state.filmGramsPerSquareMetre).toBeGreaterThan(0.5);
  });

  it('is kept dry in the same night by the heat of its transformer and coils', () => {
    const night = weatherOf({ celsius: 8, humidityPercent: 80, skyCelsius: -12 });
    const cold = run(resting(night), night, 8);
    const warm = run(resting(night), night, 8, { airWatts: 15, plateWatts: 8 });
    expect(warm.plateCelsius).toBeGreaterThan(cold.plateCelsius + 1);
    expect(warm.filmGramsPerSquareMetre).toBe(0);
  });

  it('takes rain through an opening only from the side that the wind comes from', () => {
    const rain = { celsius: 10, humidityPercent: 95, rainMm: 0.05, windMetresPerSecond: 10 };
    const facing = weatherOf({ ...rain, windFromDegrees: 90 });
    const away = weatherOf({ ...rain, windFromDegrees: 270 });
    expect(run(resting(facing, [EAST]), facing, 3).poolGrams).toBeGreaterThan(50);
    expect(run(resting(away, [EAST]), away, 3).poolGrams).toBe(0);
  });

  it('shows water inside as an excess of vapour, until it has dried', () => {
    const rain = weatherOf({
      celsius: 10,
      humidityPercent: 90,
      rainMm: 0.05,
      windMetresPerSecond: 10,
    });
    const fair = weatherOf({ celsius: 14, humidityPercent: 50 });
    const made = resting(rain, [EAST]);
    const state = run(made, rain, 4);
    run(made, fair, 2);
    expect(excessPascals(state, fair)).toBeGreaterThan(95);
    run(made, fair, 72);
    expect(state.filmGramsPerSquareMetre).toBe(0);
    expect(state.poolGrams).toBeLessThan(1);
    expect(excessPascals(state, fair)).toBeLessThan(10);
  });

  it('keeps driven snow without a drop below 0 C and wets everything at the melt', () => {
    const storm = weatherOf({
      celsius: -6,
      humidityPercent: 85,
      snowMm: 0.03,
      windMetresPerSecond: 15,
    });
    const frost = weatherOf({ celsius: -6, humidityPercent: 70 });
    const thaw = weatherOf({ celsius: 5, humidityPercent: 85 });
    const made = resting(storm, [EAST]);
    run(made, storm, 10);
    const state = run(made, frost, 24);
    expect(state.snowGrams).toBeGreaterThan(300);
    expect(state.poolGrams).toBe(0);
    expect(state.filmGramsPerSquareMetre).toBeLessThan(2);
    run(made, thaw, 4);
    expect(state.filmGramsPerSquareMetre).toBeGreaterThan(20);
    expect(state.poolGrams).toBeGreaterThan(50);
  });

  it('loses no water and makes none, whatever the weather, the openings and the step do', () => {
    const anyWeather = fc
      .record({
        celsius: fc.double({ min: -30, max: 45, noNaN: true }),
        humidityPercent: fc.double({ min: 1, max: 100, noNaN: true }),
        windMetresPerSecond: fc.double({ min: 0, max: 30, noNaN: true }),
        rainMm: fc.double({ min: 0, max: 1, noNaN: true }),
        snowMm: fc.double({ min: 0, max: 1, noNaN: true }),
        sunWattsPerSquareMetre: fc.double({ min: 0, max: 1000, noNaN: true }),
      })
      .map(weatherOf);
    const sequence = fc.array(fc.tuple(anyWeather, fc.integer({ min: 10, max: 60 })), {
      minLength: 1,
      maxLength: 40,
    });
    const anyOpenings = fc.array(
      fc.record({
        facingDegrees: fc.double({ min: 0, max: 360, noNaN: true }),
        catchSquareMetres: fc.double({ min: 0, max: 0.05, noNaN: true }),
        drainBlocked: fc.boolean(),
        place: fc.constantFrom(...OPENING_PLACES),
      }),
      { maxLength: 3 },
    );
    fc.assert(
      fc.property(sequence, fc.boolean(), anyOpenings, (steps, doorOpen, openings) => {
        const made = resting(steps[0]![0], openings, {
          buildingAir: { celsius: 21, humidityPercent: 35, cubicMetresPerHour: 0.6 },
          snowInside: { atMs: 60_000, grams: 200 },
          washings: [{ fromMs: 120_000, toMs: 240_000 }],
        });
        const { state, ledger } = made;
        const before = storedGrams(state);
        let atMs = 0;
        for (const [weather, seconds] of steps) {
          for (let again = 0; again < 20; again += 1) {
            atMs += seconds * 1000;
            made.step(weather, NO_HEAT, doorOpen, atMs, seconds);
          }
          const saturation = saturationOverWaterPascals(state.airCelsius);
          expect(state.vapourPascals).toBeLessThanOrEqual(saturation * (1 + 1e-5));
          expect(state.vapourPascals).toBeGreaterThan(0);
          expect(state.filmGramsPerSquareMetre).toBeGreaterThanOrEqual(0);
          expect(state.frozenGramsPerSquareMetre).toBeGreaterThanOrEqual(0);
          expect(state.frozenGramsPerSquareMetre).toBeLessThanOrEqual(
            state.filmGramsPerSquareMetre,
          );
          expect(state.poolGrams).toBeGreaterThanOrEqual(0);
          expect(state.snowGrams).toBeGreaterThanOrEqual(0);
          const wentThrough = ledger.enteredGrams + ledger.airedGrams - ledger.drainedGrams;
          expect(storedGrams(state) - before).toBeCloseTo(wentThrough, 2);
        }
      }),
      { numRuns: 60 },
    );
  });
});
