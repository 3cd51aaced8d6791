import { saturationOverWaterPascals } from '@lineside/physics';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type CompartmentState,
  restingCompartment,
  stepCompartment,
} from '../src/world/compartment.ts';
import type { Opening } from '../src/world/scenario.ts';
import type { Weather } from '../src/world/weather.ts';

const BUILD = { airChangesPerHour: 2, windAirChanges: 0.15, skinCoupling: 0.8 };
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

function run(
  state: CompartmentState,
  weather: Weather,
  hours: number,
  opening: Opening | null = null,
  heat = NO_HEAT,
): CompartmentState {
  for (let minute = 0; minute < hours * 60; minute += 1) {
    stepCompartment(state, BUILD, opening, weather, heat, false, 60);
  }
  return state;
}

function excessPascals(state: CompartmentState, weather: Weather): number {
  return state.vapourPascals - weather.vapourPascals;
}

describe('a compartment', () => {
  it('follows the air outside when nothing is wrong', () => {
    const before = weatherOf({ celsius: 5, humidityPercent: 60 });
    const after = weatherOf({ celsius: 12, humidityPercent: 70 });
    const state = run(run(restingCompartment(before), before, 6), after, 12);
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
    const state = run(restingCompartment(night), night, 8);
    expect(state.plateCelsius).toBeLessThan(7);
    expect(state.filmGramsPerSquareMetre).toBeGreaterThan(0.5);
  });

  it('is kept dry in the same night by the heat of its transformer and coils', () => {
    const night = weatherOf({ celsius: 8, humidityPercent: 80, skyCelsius: -12 });
    const cold = run(restingCompartment(night), night, 8);
    const warm = run(restingCompartment(night), night, 8, null, { airWatts: 15, plateWatts: 8 });
    expect(warm.plateCelsius).toBeGreaterThan(cold.plateCelsius + 1);
    expect(warm.filmGramsPerSquareMetre).toBe(0);
  });

  it('takes rain through an opening only from the side that the wind comes from', () => {
    const rain = { celsius: 10, humidityPercent: 95, rainMm: 0.05, windMetresPerSecond: 10 };
    const facing = weatherOf({ ...rain, windFromDegrees: 90 });
    const away = weatherOf({ ...rain, windFromDegrees: 270 });
    expect(run(restingCompartment(facing), facing, 3, EAST).poolGrams).toBeGreaterThan(50);
    expect(run(restingCompartment(away), away, 3, EAST).poolGrams).toBe(0);
  });

  it('shows water inside as an excess of vapour, until it has dried', () => {
    const rain = weatherOf({
      celsius: 10,
      humidityPercent: 90,
      rainMm: 0.05,
      windMetresPerSecond: 10,
    });
    const fair = weatherOf({ celsius: 14, humidityPercent: 50 });
    const state = run(restingCompartment(rain), rain, 4, EAST);
    run(state, fair, 2);
    expect(excessPascals(state, fair)).toBeGreaterThan(95);
    run(state, fair, 72);
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
    const state = run(restingCompartment(storm), storm, 10, EAST);
    run(state, frost, 24, EAST);
    expect(state.snowGrams).toBeGreaterThan(300);
    expect(state.poolGrams).toBe(0);
    expect(state.filmGramsPerSquareMetre).toBeLessThan(2);
    run(state, thaw, 4, EAST);
    expect(state.filmGramsPerSquareMetre).toBeGreaterThan(20);
    expect(state.poolGrams).toBeGreaterThan(50);
  });

  it('never holds vapour above saturation nor less than no water, whatever the weather does', () => {
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
    const sequence = fc.array(fc.tuple(anyWeather, fc.integer({ min: 1, max: 60 })), {
      minLength: 1,
      maxLength: 40,
    });
    fc.assert(
      fc.property(sequence, fc.boolean(), (steps, doorOpen) => {
        const state = restingCompartment(steps[0]![0]);
        for (const [weather, seconds] of steps) {
          stepCompartment(state, BUILD, EAST, weather, NO_HEAT, doorOpen, seconds);
          const saturation = saturationOverWaterPascals(state.airCelsius);
          expect(state.vapourPascals).toBeLessThanOrEqual(saturation * (1 + 1e-9));
          expect(state.vapourPascals).toBeGreaterThan(0);
          expect(state.filmGramsPerSquareMetre).toBeGreaterThanOrEqual(0);
          expect(state.poolGrams).toBeGreaterThanOrEqual(0);
          expect(state.snowGrams).toBeGreaterThanOrEqual(0);
        }
      }),
      { numRuns: 60 },
    );
  });
});
