import { saturationOverWaterPascals } from '@lineside/physics';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CLIMATE_NAMES, CLIMATES } from '../src/index.ts';
import { winterStorm } from '../src/scenarios/demo-storm.ts';
import { SiteWeather } from '../src/world/site-weather.ts';
import type { Weather } from '../src/world/weather.ts';
import { DAY_MS, HOUR_MS, MINUTE_MS, mean, START_MS } from './small-world.ts';

function place(name: (typeof CLIMATE_NAMES)[number], storms = winterStorm('here', 0).stages) {
  return {
    site: 'here',
    latitudeDegrees: 44,
    longitudeDegrees: -63,
    climate: CLIMATES[name],
    storms,
    nowMs: START_MS + 42 * DAY_MS,
    seasonDayAtNow: 25,
  };
}

function minutes(weather: SiteWeather, days: number): Weather[] {
  return Array.from({ length: days * 1440 }, (_, index) =>
    weather.at(START_MS + index * MINUTE_MS),
  );
}

describe('weather', () => {
  it('has a humidity of 0 to 100 % that belongs to its vapour pressure, in every climate', () => {
    fc.assert(
      fc.property(fc.integer(), fc.constantFrom(...CLIMATE_NAMES), (seed, name) => {
        const weather = new SiteWeather(seed, place(name, []), START_MS);
        for (const minute of minutes(weather, 3)) {
          const saturation = saturationOverWaterPascals(minute.celsius);
          expect(minute.humidityPercent).toBeGreaterThan(0);
          expect(minute.humidityPercent).toBeLessThanOrEqual(100);
          expect(minute.vapourPascals).toBeLessThanOrEqual(saturation * (1 + 1e-12));
          expect((100 * minute.vapourPascals) / saturation).toBeCloseTo(minute.humidityPercent, 9);
        }
      }),
      { numRuns: 6 },
    );
  });

  it('is the same whoever asks first', () => {
    const forward = new SiteWeather(4, place('rainy-valley', []), START_MS);
    const jump = new SiteWeather(4, place('rainy-valley', []), START_MS);
    const late = jump.at(START_MS + 2 * DAY_MS);
    expect(minutes(forward, 3)[2 * 1440]).toEqual(late);
    expect(jump.at(START_MS)).toEqual(forward.at(START_MS));
  });

  it('lets go of the past and says so when asked for it', () => {
    const weather = new SiteWeather(4, place('rainy-valley', []), START_MS);
    const kept = weather.at(START_MS + 2 * DAY_MS);
    weather.forgetBefore(START_MS + DAY_MS + HOUR_MS);
    expect(weather.at(START_MS + 2 * DAY_MS)).toEqual(kept);
    expect(() => weather.at(START_MS)).toThrow(/before what is kept/);
  });

  it('tells the climates apart', () => {
    const over = (name: (typeof CLIMATE_NAMES)[number], pick: (minute: Weather) => number) =>
      mean(minutes(new SiteWeather(1, place(name, []), START_MS), 40).map(pick));
    const humidity = (minute: Weather) => minute.humidityPercent;
    expect(over('high-plain', humidity)).toBeLessThan(over('humid-coast', humidity));
    expect(over('humid-coast', humidity)).toBeLessThan(over('rainy-valley', humidity));
    const wind = (minute: Weather) => minute.windMetresPerSecond;
    expect(over('windy-harbour', wind)).toBeGreaterThan(1.5 * over('rainy-valley', wind));
    const warmth = (minute: Weather) => minute.celsius;
    expect(over('humid-coast', warmth)).toBeGreaterThan(8 + over('windy-harbour', warmth));
  });

  it('is coldest before sunrise and warmest in the afternoon', () => {
    const byHour: number[][] = Array.from({ length: 24 }, () => []);
    const weather = new SiteWeather(2, place('high-plain', []), START_MS);
    for (const minute of minutes(weather, 40)) {
      const hour = Math.floor(weather.solarHourAt(minute.atMs));
      byHour[hour]!.push(minute.celsius);
    }
    const means = byHour.map(mean);
    expect(means.indexOf(Math.max(...means))).toBeGreaterThanOrEqual(13);
    expect(means.indexOf(Math.max(...means))).toBeLessThanOrEqual(16);
    expect(means.indexOf(Math.min(...means))).toBeLessThanOrEqual(6);
  });

  it('has the scheduled storm: driven snow, frost, then a thaw', () => {
    const nowMs = START_MS + 6 * DAY_MS;
    const { stages } = winterStorm('here', nowMs);
    const weather = new SiteWeather(3, place('windy-harbour', stages), START_MS);
    const between = (fromHours: number, toHours: number): Weather[] =>
      minutes(weather, 6).filter(
        ({ atMs }) => atMs >= nowMs + fromHours * HOUR_MS && atMs < nowMs + toHours * HOUR_MS,
      );
    const snowing = between(-100, -90);
    expect(mean(snowing.map((minute) => minute.windMetresPerSecond))).toBeGreaterThan(12);
    expect(snowing.reduce((sum, minute) => sum + minute.snowMm, 0)).toBeGreaterThan(10);
    const frost = between(-80, -36);
    expect(Math.max(...frost.map((minute) => minute.celsius))).toBeLessThan(-3);
    expect(mean(between(-24, -12).map((minute) => minute.celsius))).toBeGreaterThan(3);
  });
});
