import { describe, expect, it } from 'vitest';
import { CLIMATES, type ClimateName } from '../src/index.ts';
import { WeatherMaker } from '../src/world/weather-maker.ts';

const MINUTE_MS = 60_000;
const MINUTES_A_YEAR = 365 * 1440;
const START_MS = Date.UTC(2026, 0, 1);

interface Year {
  readonly meanCelsius: number;
  readonly lowestCelsius: number;
  readonly highestCelsius: number;
  readonly rainMm: number;
  readonly snowMm: number;
  /** Share of the time above 80 %RH and 0 C. */
  readonly wetShare: number;
}

type Band = readonly [low: number, high: number];

function yearOf(name: ClimateName): Year {
  const maker = new WeatherMaker(7, {
    site: 'here',
    latitudeDegrees: 44,
    longitudeDegrees: 0,
    climate: CLIMATES[name],
    storms: [],
    nowMs: START_MS,
    seasonDayAtNow: 0,
  });
  let sum = 0;
  let lowest = Infinity;
  let highest = -Infinity;
  let rainMm = 0;
  let snowMm = 0;
  let wet = 0;
  for (let minute = 0; minute < MINUTES_A_YEAR; minute++) {
    const weather = maker.at(START_MS + minute * MINUTE_MS);
    sum += weather.celsius;
    lowest = Math.min(lowest, weather.celsius);
    highest = Math.max(highest, weather.celsius);
    rainMm += weather.rainMm;
    snowMm += weather.snowMm;
    if (weather.humidityPercent > 80 && weather.celsius > 0) wet += 1;
  }
  return {
    meanCelsius: sum / MINUTES_A_YEAR,
    lowestCelsius: lowest,
    highestCelsius: highest,
    rainMm,
    snowMm,
    wetShare: wet / MINUTES_A_YEAR,
  };
}

/** What such a place is like, in wide bands: common practice, no source. */
const BANDS: Readonly<Record<ClimateName, Readonly<Record<keyof Year, Band>>>> = {
  'windy-harbour': {
    meanCelsius: [4, 9],
    lowestCelsius: [-22, -5],
    highestCelsius: [20, 34],
    rainMm: [400, 2000],
    snowMm: [50, 800],
    wetShare: [0.25, 0.7],
  },
  'humid-coast': {
    meanCelsius: [17, 23],
    lowestCelsius: [-8, 6],
    highestCelsius: [32, 46],
    rainMm: [600, 3000],
    snowMm: [0, 30],
    wetShare: [0.3, 0.75],
  },
  'high-plain': {
    meanCelsius: [5, 11],
    lowestCelsius: [-35, -10],
    highestCelsius: [30, 45],
    rainMm: [50, 500],
    snowMm: [10, 300],
    wetShare: [0, 0.2],
  },
  'rainy-valley': {
    meanCelsius: [8, 13],
    lowestCelsius: [-14, 3],
    highestCelsius: [20, 33],
    rainMm: [900, 3500],
    snowMm: [0, 400],
    wetShare: [0.5, 0.95],
  },
  'salt-shore': {
    meanCelsius: [10, 14],
    lowestCelsius: [-12, 6],
    highestCelsius: [18, 32],
    rainMm: [500, 2500],
    snowMm: [0, 60],
    wetShare: [0.35, 0.85],
  },
  'dry-basin': {
    meanCelsius: [18, 24],
    lowestCelsius: [-10, 8],
    highestCelsius: [35, 55],
    rainMm: [50, 700],
    snowMm: [0, 30],
    wetShare: [0, 0.12],
  },
  'snow-ridge': {
    meanCelsius: [0, 4],
    lowestCelsius: [-32, -10],
    highestCelsius: [15, 30],
    rainMm: [300, 2000],
    snowMm: [400, 2500],
    wetShare: [0.1, 0.45],
  },
  'deep-winter': {
    meanCelsius: [0, 6],
    lowestCelsius: [-45, -20],
    highestCelsius: [25, 42],
    rainMm: [250, 1500],
    snowMm: [60, 900],
    wetShare: [0.1, 0.4],
  },
  'steam-delta': {
    meanCelsius: [25, 29],
    lowestCelsius: [14, 24],
    highestCelsius: [30, 40],
    rainMm: [1500, 9000],
    snowMm: [0, 0],
    wetShare: [0.5, 1],
  },
};

describe('a year of weather', () => {
  it.each(Object.keys(BANDS) as ClimateName[])('%s is like such a place', (name) => {
    const year = yearOf(name);
    for (const figure of Object.keys(year) as (keyof Year)[]) {
      const [low, high] = BANDS[name][figure];
      expect(year[figure], figure).toBeGreaterThanOrEqual(low);
      expect(year[figure], figure).toBeLessThanOrEqual(high);
    }
  });
});
